import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";

/** A body shrunk by 0 on purpose: the printer is to scale, and all sizes, paper and weights are not. */
export function shrinkLater({ spec, scale, model }: BuiltMold): Finding[] {
  const last = spec.body.shrinkings.at(-1);
  if (!last || scale.total !== 0) return [];
  return [
    {
      code: "shrink-later",
      severity: "info",
      args: {},
      target: { call: last.call, argument: 1 },
      mold: model.name,
    },
  ];
}
