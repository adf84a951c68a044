import type { Finding, Fix } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { LEAST_KEY, type SeamKeys } from "../mold/keys.ts";
import { hundredth, tenth } from "./numbers.ts";

/** Draft of a key's flank along the pull of the part that leaves first, degrees (practice). */
const FLANK_DRAFT = 3;

/** Seams with no key, or with one only. */
export function keyNoRoom({ spec, model, keys, layout }: BuiltMold): Finding[] {
  return keys.flatMap((seam): Finding[] => {
    if (seam.keys.length >= 2) return [];
    const ownKeys = spec.keys.call >= 0;
    const base = {
      code: "key-no-room",
      target: { call: ownKeys ? spec.keys.call : spec.call },
      mold: model.name,
      part: seam.name,
    } as const;
    const smaller = Math.max(3, Math.floor(spec.keys.size * 0.75));
    const smallerKeys: Fix[] = ownKeys
      ? [
          {
            title: "fix-key-size",
            args: { size: smaller },
            change: { kind: "setOption", call: spec.keys.call, argument: 0, path: ["size"], value: smaller },
          },
        ]
      : [];
    if (seam.keys.length === 1) {
      return [
        {
          ...base,
          severity: "warning",
          variant: seam.joint ? "joint-one" : "one",
          args: { seam: seam.name, size: spec.keys.size, height: tenth(layout.height) },
          value: 1,
          limit: 2,
          unit: "",
          fixes: smallerKeys,
        },
      ];
    }
    if (seam.tallest < LEAST_KEY) {
      if (seam.joint) return [{ ...base, severity: "error", ...lowTongue(spec, seam) }];
      return [
        {
          ...base,
          severity: "error",
          variant: "low",
          args: {
            seam: seam.name,
            theta: tenth(seam.theta),
            tallest: hundredth(seam.tallest),
            least: LEAST_KEY,
          },
          value: hundredth(seam.tallest),
          limit: LEAST_KEY,
          unit: "mm",
        },
      ];
    }
    const width = Math.ceil((spec.flange.width + seam.wanting) * 2) / 2;
    const widerFlange: Fix[] =
      seam.wanting > 0
        ? [
            {
              title: "fix-flange",
              args: { width },
              change: {
                kind: "setOption",
                call: spec.call,
                argument: 1,
                path: ["flange", "width"],
                value: width,
              },
            },
          ]
        : [];
    return [
      {
        ...base,
        severity: "error",
        ...(seam.joint ? { variant: "joint" } : spec.side === "inside" ? { variant: "hump" } : {}),
        args: {
          seam: seam.name,
          length: tenth(seam.length),
          size: spec.keys.size,
          needed: tenth(seam.length + seam.wanting),
        },
        value: tenth(seam.length),
        limit: tenth(seam.length + seam.wanting),
        unit: "mm",
        fixes: [...widerFlange, ...smallerKeys],
      },
    ];
  });
}

/** A tongue as high as its flange lets it, and the flange that lets it register. */
function lowTongue(spec: BuiltMold["spec"], { name, tallest }: SeamKeys) {
  const { thickness } = spec.flange;
  const needed = Math.ceil((thickness + LEAST_KEY - tallest) * 2) / 2;
  const fix: Fix = {
    title: "fix-flange-thickness",
    args: { thickness: needed },
    change: {
      kind: "setOption",
      call: spec.call,
      argument: 1,
      path: ["flange", "thickness"],
      value: needed,
    },
  };
  return {
    variant: "joint-low",
    args: { seam: name, thickness, tallest: hundredth(tallest), least: LEAST_KEY, needed },
    value: hundredth(tallest),
    limit: LEAST_KEY,
    unit: "mm",
    fixes: [fix],
  };
}

/** Keys whose flank would hold the part that leaves first. */
export function keyLocked({ spec, model, keys }: BuiltMold): Finding[] {
  return keys.flatMap((seam) => {
    // Shapes are made with 3° or 5° to spare; what is lost on the way to the numbers is not a lock.
    const locked = seam.keys.filter((key) => key.draftDeg < FLANK_DRAFT - 0.01);
    const [worst, ...others] = locked.sort((a, b) => a.draftDeg - b.draftDeg);
    if (!worst) return [];
    return [
      {
        code: "key-locked",
        severity: "error",
        args: {
          seam: seam.name,
          key: `the key at z ${tenth(worst.model.at[2])}`,
          part: seam.firstToLeave,
          draft: tenth(worst.draftDeg),
          limit: FLANK_DRAFT,
        },
        target: { call: spec.keys.call >= 0 ? spec.keys.call : spec.call },
        mold: model.name,
        part: seam.name,
        value: tenth(worst.draftDeg),
        limit: FLANK_DRAFT,
        unit: "°",
        at: worst.model.at,
        ...(others.length > 0 && { places: [worst, ...others].slice(0, 20).map((key) => key.model.at) }),
      } satisfies Finding,
    ];
  });
}
