import type { MoldSpec } from "../kit/mold.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import type { Layout } from "./layout.ts";
import { offsetStack, type StackLevel } from "./offset-stack.ts";

/** Finer than this, mm, the outline of a shelf says nothing. */
const FINE = 0.1;
/** Depth of one step of a shelf's underside, mm: where its outlines join, it is level for no more than this. */
const STEP = 1.5;
/** What of a shelf may stick out of the shell at its end, mm². */
const HIDDEN = 0.2;
/** A shelf goes on this far behind its plane, mm. */
const OVER = 0.5;

/** The shelf along the rim or the foot, as wide as the knife wants it; none where it has no width. */
export function shelfAt(
  scope: Scope,
  shell: Solid,
  plane: number,
  inwards: 1 | -1,
  layout: Layout,
  spec: MoldSpec,
): Solid[] {
  const { width, thick } = layout.shelf;
  if (width <= 0) return [];
  return ledge(scope, shell, { plane, inwards, width, thick, behind: OVER }, layout, spec);
}

interface Ledge {
  plane: number;
  /** 1 upwards, −1 downwards. */
  inwards: 1 | -1;
  /** How far it stands out of the shell at its plane and for its thickness, mm. */
  width: number;
  thick: number;
  behind: number;
}

/** What stands out of the shell at a plane, then goes back into it at 45°, as far as that takes. */
function ledge(
  scope: Scope,
  shell: Solid,
  { plane, inwards, width, thick, behind }: Ledge,
  layout: Layout,
  spec: MoldSpec,
): Solid[] {
  const outline = scope.plainer(scope.section(shell, plane), FINE);
  // From the plane inwards, `depth` away from it.
  const steps: { depth: number; out: number }[] = [
    { depth: -behind, out: width },
    { depth: thick, out: width },
  ];
  const most = layout.height - layout.foot;
  for (let out = width - STEP; ; out -= STEP) {
    const depth = thick + width - out;
    if (depth > most) break;
    const ring = out === 0 ? outline : scope.grow(outline, out);
    if (!(ring.area > 1)) break;
    steps.push({ depth, out });
    const hidden = scope.section(shell, plane + inwards * depth);
    if (out <= 0 && scope.flatWithout(ring, hidden).area < HIDDEN) break;
  }
  const levels = steps.map(({ depth, out }): StackLevel => ({ z: plane + inwards * depth, out }));
  const stack = offsetStack(scope, outline, inwards > 0 ? levels : levels.reverse(), {
    face: "outside",
    call: spec.call,
  });
  return stack ? [scope.solid(stack)] : [];
}

/** From one level to the next that is looked at for a flare, mm. */
const BETWEEN = 2;
/** Finer than this, mm, the outline of a level says nothing about a flare. */
const ROUGH = 0.3;
/** A flare begins where more than this hangs over, mm². */
const LEAST_OVER = 4;
/** A level of a flare goes on upwards by this, mm, so that it joins the shell. */
const INTO = 0.3;

/**
 * What fills in under a shell where it flares by more than 45° below its rim, so that it prints as it stands.
 * The rim's own shelf fills in right under it.
 */
export function flaresUnder(scope: Scope, shell: Solid, layout: Layout, spec: MoldSpec): Solid[] {
  const at = (z: number) => scope.plainer(scope.section(shell, z), ROUGH);
  const more = (a: Flat, b: Flat) => scope.flatWithout(a, b).area > LEAST_OVER;
  const ledges: Solid[] = [];
  // What the shell covers at a level together with what is filled in there, where that is any more.
  let filled: Flat | null = null;
  let own = at(layout.height - BETWEEN);
  for (let z = layout.height - BETWEEN; z - BETWEEN > layout.foot; z -= BETWEEN) {
    const below = at(z - BETWEEN);
    const carried: Flat | null = filled && scope.grow(filled, -BETWEEN);
    const flares = own.area > below.area && more(own, scope.grow(below, BETWEEN));
    if (flares && !(carried && !more(own, carried))) {
      const from = { plane: z, inwards: -1, width: 0, thick: 0, behind: INTO } as const;
      ledges.push(...ledge(scope, shell, from, layout, spec));
    }
    if (carried) filled = more(carried, own) ? scope.flatBoth(own, carried) : null;
    else if (flares) filled = own;
    own = below;
  }
  return ledges;
}
