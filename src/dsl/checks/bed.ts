import type { Finding } from "../../../shared/finding.ts";
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
        fixes: larger.map((name) => ({
          title: "fix-printer",
          args: { printer: name },
          change: { kind: "setPrinter", call: spec.call, name },
        })),
      },
    ];
  });
}
