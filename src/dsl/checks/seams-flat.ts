import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";

/**
 * Seams that were to follow the form, as they do by default, on a body whose sections are not seen whole
 * from their middle: they are upright planes. Nothing is wrong with that; saying follow: "flat" ends it.
 */
export function seamsFlat({ spec, model, grid }: BuiltMold): Finding[] {
  const { seams } = spec;
  if (grid || seams.kind !== "seams" || seams.follow !== "form") return [];
  const written = seams.call >= 0;
  return [
    {
      code: "seams-flat",
      severity: "info",
      args: {},
      target: { call: written ? seams.call : spec.call },
      mold: model.name,
      // Without a split of its own the design has no place to say it.
      fixes: written
        ? [
            {
              title: "fix-seams-upright",
              args: {},
              change: { kind: "setOption", call: seams.call, argument: 0, path: ["follow"], value: "flat" },
            },
          ]
        : [],
    },
  ];
}
