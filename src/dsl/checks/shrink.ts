import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { hundredth, tenth } from "./numbers.ts";

/** Stoneware shrinks 10–14 % (memory); a starting point until the maker has measured. */
const TYPICAL = 0.12;

/** A body that was never shrunk. `shrink(body, 0)` is a decision and no finding. */
export function shrinkMissing({ spec, model, layout }: BuiltMold): Finding[] {
  if (spec.body.shrinkings.length > 0) return [];
  return [
    {
      code: "shrink-missing",
      severity: "error",
      args: {
        height: tenth(layout.height),
        percent: TYPICAL * 100,
        fired: tenth(layout.height * (1 - TYPICAL)),
      },
      target: { call: spec.call, argument: 0 },
      mold: model.name,
      value: 0,
      limit: TYPICAL,
      unit: "",
      fixes: [
        {
          title: "fix-shrink",
          args: { percent: TYPICAL * 100 },
          change: { kind: "wrap", call: spec.call, argument: 0, name: "shrink", args: [TYPICAL] },
        },
      ],
    },
  ];
}

/** A body that was grown for the clay more than once. */
export function shrinkTwice({ spec, scale, model }: BuiltMold): Finding[] {
  const shrinkings = spec.body.shrinkings.filter((one) => one.total > 0);
  if (shrinkings.length < 2) return [];
  const last = shrinkings[shrinkings.length - 1];
  return [
    {
      code: "shrink-twice",
      severity: "error",
      args: { count: shrinkings.length, scale: hundredth(scale.cavity) },
      target: { call: last.call },
      mold: model.name,
      value: shrinkings.length,
      limit: 1,
      unit: "",
      fixes: [{ title: "fix-unshrink", args: {}, change: { kind: "unwrap", call: last.call, argument: 0 } }],
    },
  ];
}
