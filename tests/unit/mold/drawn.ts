import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { withScope, type Solid } from "../../../src/dsl/solid/kernel.ts";

/** How far each part is really drawn, mm. */
export const WAYS = [0.2, 1, 5, 20, 60];
/** A part that comes off may cut this much on its way, mm³: chords of one curve cross by that. */
export const TOUCH = 0.5;
/** A shallower undercut may hold or not, mm. */
export const SHALLOW = 0.05;

/** What the product says of one part against one thing in its way, and what came of really drawing it. */
export interface Drawn {
  part: string;
  /** The clay, or the other parts that are still there. */
  against: "clay" | "parts";
  says: "free" | "held" | "shallow";
  /** The most that it cut into on its way, mm³, and after how far. */
  cutMm3: number;
  after: number;
  /** Depth, mm, or area, mm², in which it is said to be held. */
  by: number;
}

/** Draws every part of a mold along its pull in opening order, by the kernel on the exported solids. */
export function drawParts({ model, opened, clay }: BuiltMold): Drawn[] {
  return withScope((scope) => {
    const solids = new Map(
      model.parts
        .filter(({ role }) => role === "wall" || role === "floor")
        .map((part) => [part.name, scope.solid(part)]),
    );
    const pot = scope.solid(clay);
    const there = new Set(solids.keys());
    const draw = (part: string, m: readonly number[], others: readonly Solid[]) => {
      let [cutMm3, after] = [0, 0];
      for (const way of WAYS) {
        const moved = scope.move(solids.get(part)!, [m[0] * way, m[1] * way, m[2] * way]);
        const cut = others.reduce((sum, other) => sum + scope.commonVolume(moved, other), 0);
        if (cut > cutMm3) [cutMm3, after] = [cut, way];
      }
      return { cutMm3, after };
    };
    const found: Drawn[] = [];
    const look = (part: string, m: readonly number[], held: number | null) => {
      const { undercutMm = 0 } = model.parts.find(({ name }) => name === part)!;
      const holds = model.undercuts.some((patch) => patch.part === part && patch.verdict !== "free");
      const says = holds ? "held" : undercutMm > 0 && undercutMm < SHALLOW ? "shallow" : "free";
      found.push({ part, against: "clay", says, by: undercutMm, ...draw(part, m, [pot]) });
      // A part that only waits for others that cannot leave runs into nothing that is known.
      if (held === null) return;
      const others = [...there].filter((name) => name !== part).map((name) => solids.get(name)!);
      found.push({
        part,
        against: "parts",
        says: held > 0 ? "held" : "free",
        by: held,
        ...draw(part, m, others),
      });
    };
    for (const { part, direction } of model.moves) {
      look(part, direction, 0);
      there.delete(part);
    }
    for (const { part, direction, by } of opened.stuck)
      look(part, direction, by.length === 0 ? null : by.reduce((sum, { areaMm2 }) => sum + areaMm2, 0));
    return found;
  });
}

/** Whether what was said and what came of it are at odds. */
export function isAtOdds({ says, cutMm3 }: Drawn): boolean {
  return says === "shallow" ? false : (says === "held") !== cutMm3 > TOUCH;
}
