import type { Finding, Fix } from "../../../shared/finding.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { BuiltMold } from "../mold/build.ts";
import { layOnBed } from "../output/bed.ts";
import { fitsBed, overBed } from "../output/plates.ts";
import { tenth } from "./numbers.ts";

/** Parts that the bed cannot hold: an error on a printer that the maker named, a warning on the fallback. */
export function bedOverflow({ spec, model }: BuiltMold): Finding[] {
  const { bed } = model.printer;
  const sizes = model.parts.map((part) => layOnBed(part).size);
  const larger = spec.printers.flatMap(({ name, bed }) =>
    name !== null && sizes.every((size) => fitsBed(size, [...bed])) ? [name] : [],
  );
  return model.parts.flatMap((part): Finding[] => {
    const { size } = layOnBed(part);
    if (fitsBed(size, bed)) return [];
    const [x, y, z] = size.map(tenth);
    const [bedX, bedY, bedZ] = bed;
    return [
      {
        code: "bed-overflow",
        severity: spec.printer.named ? "error" : "warning",
        args: { part: part.name, x, y, z, bedX, bedY, bedZ },
        target: spec.printer.named
          ? { call: spec.call, argument: 1, path: ["printer"] }
          : { call: spec.call },
        mold: model.name,
        part: part.name,
        value: tenth(overBed(size, bed)),
        limit: 0,
        unit: "mm",
        fixes: [
          ...larger.map((name) => onPrinter(spec, name)),
          ...(part.role === "wall" ? smaller(spec) : []),
        ],
      },
    ];
  });
}

const onPrinter = ({ call }: MoldSpec, name: string): Fix => ({
  title: "fix-printer",
  args: { printer: name },
  change: { kind: "setPrinter", call, name },
});

/** More parts than asked for that are tried. */
const MORE_PARTS = 2;
const MOST_PARTS = 8;

/** The mold in smaller pieces: one that is whole glued together of some, another split into more. */
function smaller({ seams }: MoldSpec): Fix[] {
  const { call, kind, parts } = seams;
  if (call < 0) return [];
  const set = (title: string, key: string, value: number): Fix => ({
    title,
    args: { value },
    change: { kind: "setOption", call, argument: 0, path: [key], value },
  });
  if (kind === "whole")
    return [2, 4].filter((glue) => glue > seams.glue).map((n) => set("fix-glue", "glue", n));
  if (kind === "halves") return [];
  return Array.from({ length: MORE_PARTS }, (_, i) => parts + i + 1)
    .filter((more) => more <= MOST_PARTS)
    .map((more) => set("fix-parts", "parts", more));
}
