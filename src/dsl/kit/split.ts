import type { CallId } from "../../../shared/place.ts";
import { KitError } from "./error.ts";
import { checkChoice, checkKeys, checkNumber, show } from "./options.ts";
import { recordCall } from "./record.ts";

export const SPLIT_DEFAULTS = Object.freeze({
  parts: 2,
  at: "best",
  follow: "form",
  pull: "best",
  levels: [],
} as const);

export const WHOLE_DEFAULTS = Object.freeze({ glue: 1 } as const);

export interface SplitOptions {
  /** How many wall parts, 1 to 8. Default 2. */
  parts?: number;
  /**
   * Where the seams stand: "best" lets Slabwright choose, "corners" puts them on corners or
   * crests, a number is the angle of the first seam, an array gives each. Degrees about the centre
   * of the lowest section. Default "best".
   */
  at?: "best" | "corners" | number | readonly number[];
  /**
   * Whether seams turn with a twisted form or stay upright planes. Default "form"; a body whose sections
   * are not seen whole from their middle (a kidney, a sweep, a solid) has planes in any case.
   */
  follow?: "form" | "flat";
  /** Whether a part may be drawn off rising, or only level. Default "best". */
  pull?: "best" | "level";
  /**
   * Heights of level cross seams, mm, fired, rising: the mold is then a stack of rings, each cut by
   * the same upright seams, that are taken off one after another from the end that the pot does not
   * stand on. For what no upright seam frees, and for a lip that would tighten on the mold. At least
   * 20 mm from one another and from foot and rim. Default none.
   */
  levels?: readonly number[];
}

/** How a mold is cut into parts; made by `split`. */
export class Split {
  /** @internal */ readonly [Symbol.toStringTag] = "Split";
  /** @internal */ readonly call: CallId;
  /** @internal */ readonly parts: number;
  /** @internal */ readonly at: "best" | "corners" | readonly number[];
  /** @internal */ readonly follow: "form" | "flat";
  /** @internal */ readonly pull: "best" | "level";
  /** @internal Upright seams, two halves at a plane, or one piece. */ readonly kind:
    "seams" | "halves" | "whole";
  /** @internal Where halves meet. */ readonly plane: "xz" | "yz";
  /** @internal In how many pieces a whole mold is printed. */ readonly glue: 1 | 2 | 4;
  /** @internal Heights of cross seams, mm, fired, rising. */ readonly levels: readonly number[];

  /** @internal */
  constructor(
    call: CallId,
    parts: number,
    at: "best" | "corners" | readonly number[],
    follow: "form" | "flat",
    pull: "best" | "level",
    more: {
      kind?: "halves" | "whole";
      plane?: "xz" | "yz";
      glue?: 1 | 2 | 4;
      levels?: readonly number[];
    } = {},
  ) {
    this.call = call;
    this.parts = parts;
    this.at = at;
    this.follow = follow;
    this.pull = pull;
    this.kind = more.kind ?? "seams";
    this.plane = more.plane ?? "xz";
    this.glue = more.glue ?? 1;
    this.levels = Object.freeze([...(more.levels ?? [])]);
    Object.freeze(this);
  }
}

/** Cuts the mold by upright seams into wall parts that are pulled off sideways. */
function upright(options?: SplitOptions): Split {
  const call = recordCall("split");
  const site = { name: "split", call, argument: 0 };
  const given = {
    ...SPLIT_DEFAULTS,
    ...checkKeys(site, options, ["parts", "at", "follow", "pull", "levels"]),
  };
  const parts = checkNumber(site, "parts", given.parts, { min: 1, max: 8, integer: true });
  if (parts === 1) {
    const reason = "a mold of one part has no seam; write split.whole().";
    throw new KitError("kit-conflict", { call: "split", reason }, { call, argument: 0, path: ["parts"] });
  }
  const follow = checkChoice(site, "follow", given.follow, ["form", "flat"]);
  const pull = checkChoice(site, "pull", given.pull, ["best", "level"]);
  const levels = crossLevels(call, given.levels);
  return new Split(call, parts, seamAngles(call, parts, given.at), follow, pull, { levels });
}

/**
 * Cuts the mold into two halves at an upright plane through the origin, for handles and other
 * solid things. `plane`: "xz" (the halves leave to front and back) or "yz" (left and right).
 */
function halves(options: { plane: "xz" | "yz" }): Split {
  const call = recordCall("split.halves");
  const site = { name: "split.halves", call, argument: 0 };
  const given = checkKeys(site, options, ["plane"]);
  const plane = checkChoice(site, "plane", given.plane, ["xz", "yz"]);
  return new Split(call, 2, "best", "flat", "level", { kind: "halves", plane });
}

/**
 * Keeps the mold in one piece, for a form that leaves through its open top. `glue`: 1 (default),
 * or 2 or 4 where the printer is too small: printed in as many pieces, glued together for good.
 */
function whole(options?: { glue?: 1 | 2 | 4 }): Split {
  const call = recordCall("split.whole");
  const site = { name: "split.whole", call, argument: 0 };
  const given = { ...WHOLE_DEFAULTS, ...checkKeys(site, options, ["glue"]) };
  if (given.glue !== 1 && given.glue !== 2 && given.glue !== 4) {
    throw new KitError(
      "kit-wrong-type",
      { call: site.name, key: "glue", allowed: "1, 2 or 4", value: show(given.glue) },
      { call, argument: 0, path: ["glue"] },
    );
  }
  return new Split(call, 1, "best", "flat", "best", { kind: "whole", glue: given.glue });
}

/** How the mold is cut: `split(…)` by upright seams, `split.halves(…)` in two, `split.whole(…)` not at all. */
export const split = Object.freeze(Object.assign(upright, { halves, whole }));

function seamAngles(call: CallId, parts: number, at: unknown): "best" | "corners" | readonly number[] {
  const site = { name: "split", call, argument: 0 };
  if (at === "best" || at === "corners") return at;
  const turn = { min: -360, max: 360, unit: "°" } as const;
  if (typeof at === "number") return Object.freeze([checkNumber(site, "at", at, turn)]);
  if (!Array.isArray(at)) {
    throw new KitError(
      "kit-wrong-type",
      {
        call: "split",
        key: "at",
        allowed: "“best”, “corners”, an angle or an array of angles",
        value: show(at),
      },
      { call, argument: 0, path: ["at"] },
    );
  }
  const angles = at.map((angle: unknown) => checkNumber(site, "at", angle, turn));
  const inTurn = angles.map((angle) => ((angle % 360) + 360) % 360).sort((a, b) => a - b);
  const close = inTurn.some(
    (angle, i) => ((inTurn[(i + 1) % inTurn.length] - angle + 360) % 360 || 360) < 10,
  );
  if (angles.length !== parts || close) {
    const reason =
      angles.length !== parts
        ? `${parts} parts need ${parts} seams, at has ${angles.length}.`
        : "two seams are nearer than 10° to one another.";
    throw new KitError("kit-conflict", { call: "split", reason }, { call, argument: 0, path: ["at"] });
  }
  return Object.freeze(inTurn);
}

/** Nearest that cross seams come to one another and to foot and rim, mm: a ring must hold its keys (practice). */
export const LEAST_RING = 20;

function crossLevels(call: CallId, levels: unknown): number[] {
  const site = { name: "split", call, argument: 0 };
  if (!Array.isArray(levels)) {
    throw new KitError(
      "kit-wrong-type",
      { call: "split", key: "levels", allowed: "an array of heights, such as [62]", value: show(levels) },
      { call, argument: 0, path: ["levels"] },
    );
  }
  const heights = levels.map((z: unknown) =>
    checkNumber(site, "levels", z, { min: LEAST_RING, max: 2000, unit: "mm" }),
  );
  const close = heights.findIndex((z, i) => i > 0 && z < heights[i - 1] + LEAST_RING);
  if (close > 0) {
    const reason = `levels rise from the foot, ${LEAST_RING} mm or more apart, and ${heights[close]} follows ${heights[close - 1]}.`;
    throw new KitError("kit-conflict", { call: "split", reason }, { call, argument: 0, path: ["levels"] });
  }
  return heights;
}
