import { MeshBuilder } from "../solid/builder.ts";
import type { Flat, Scope } from "../solid/kernel.ts";
import type { FaceRun, Tagged } from "../solid/tagged.ts";

/** How far the side of a stack stands outside its outline at a height, mm; inside it where negative. */
export interface StackLevel {
  z: number;
  out: number;
}

/**
 * A solid over a level outline whose side steps out and in as it rises: shelves with sloping
 * undersides, grooves, plates. Round outer corners, holes, and outlines that grow together or
 * part are all right. Null where an inward step leaves nothing.
 *
 * @param levels from the lowest up; equal heights make a level step, equal widths an upright side
 * @param top what the topmost face is, by default the same as the rest
 */
export function offsetStack(
  scope: Scope,
  outline: Flat,
  levels: readonly StackLevel[],
  { face, call }: Pick<FaceRun, "face" | "call">,
  top: Pick<FaceRun, "face" | "call"> = { face, call },
): Tagged | null {
  const loopsAt = loopsOf(scope, outline);
  if (levels.some(({ out }) => loopsAt(out).length === 0)) return null;
  const builder = new MeshBuilder();
  builder.face(face, call);
  const rings = levels.map(({ z, out }) =>
    loopsAt(out).map((loop) => loop.map(([x, y]) => builder.vertex(x, y, z))),
  );
  builder.cap(rings[0], false);
  for (let r = 0; r + 1 < levels.length; r++) {
    const [low, high] = [rings[r], rings[r + 1]];
    const step = levels[r + 1].out - levels[r].out;
    if (step === 0) {
      low.forEach((loop, l) => wallUp(builder, loop, high[l]));
    } else {
      // Seen from above, what lies between the two outlines is a band with one of them inside.
      const [wide, narrow] = step > 0 ? [high, low] : [low, high];
      builder.cap([...wide, ...narrow.map((loop) => [...loop].reverse())], step < 0);
    }
  }
  builder.face(top.face, top.call);
  builder.cap(rings[rings.length - 1], true);
  return builder.finish();
}

/**
 * What lies around a stack of two levels, of which the upper is the wider, up to an upright side `out`
 * mm outside its outline: the cutter that leaves the stack. Null where the lower level leaves nothing.
 */
export function offsetMoat(
  scope: Scope,
  outline: Flat,
  [low, high]: readonly [StackLevel, StackLevel],
  out: number,
  { face, call }: Pick<FaceRun, "face" | "call">,
): Tagged | null {
  const loopsAt = loopsOf(scope, outline);
  if (loopsAt(low.out).length === 0) return null;
  const builder = new MeshBuilder();
  builder.face(face, call);
  const [bottom, top] = [low, high].map((level) => {
    const ring = (loops: readonly [number, number][][]) =>
      loops.map((loop) => loop.map(([x, y]) => builder.vertex(x, y, level.z)));
    return { outer: ring(loopsAt(out)), inner: ring(loopsAt(level.out)).map((loop) => loop.reverse()) };
  });
  builder.cap([...bottom.outer, ...bottom.inner], false);
  bottom.outer.forEach((loop, l) => wallUp(builder, loop, top.outer[l]));
  builder.cap([...top.inner.map((loop) => [...loop].reverse()), ...bottom.inner], true);
  builder.cap([...top.outer, ...top.inner], true);
  return builder.finish();
}

/** An upright side between two loops of as many points. */
function wallUp(builder: MeshBuilder, low: readonly number[], high: readonly number[]): void {
  low.forEach((vertex, i) => {
    const k = (i + 1) % low.length;
    builder.quad(vertex, low[k], high[k], high[i]);
  });
}

/** An outline widened by so many mm, each width found once. */
function loopsOf(scope: Scope, outline: Flat): (out: number) => [number, number][][] {
  const known = new Map<number, [number, number][][]>();
  return (out) => {
    let loops = known.get(out);
    if (!loops)
      known.set(out, (loops = distinct(scope.loops(out === 0 ? outline : scope.grow(outline, out)))));
    return loops;
  };
}

/** Points nearer to each other than this, mm, make no edge. */
const LEAST_EDGE = 2e-3;

/** Loops without points that follow another one within `least`, mm. */
export function distinct(loops: [number, number][][], least = LEAST_EDGE): [number, number][][] {
  return loops
    .map((loop) =>
      loop.filter(([x, y], i) => {
        const [ox, oy] = loop[(i + loop.length - 1) % loop.length];
        return Math.hypot(x - ox, y - oy) > least;
      }),
    )
    .filter((loop) => loop.length >= 3);
}
