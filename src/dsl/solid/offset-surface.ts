import { Border } from "./border.ts";
import { triangulateLoops } from "./cap.ts";
import { contour } from "./contour.ts";
import { distanceField } from "./distance.ts";
import type { Mesh } from "./mesh.ts";
import { OffsetPoints } from "./offset-points.ts";
import { refined } from "./refine.ts";

/** How an offset is found. */
export interface OffsetDetail {
  /** Of the grid that is contoured, mm; what is finer may be missed. */
  step: number;
  /** Edges whose middle is further than this from where it belongs, mm, are divided. */
  sag: number;
}

/**
 * The surface at a distance from a closed mesh, as a closed mesh itself: outside it, or inside.
 * Between `low` and `high` its corners lie at that distance; it is closed somewhere beyond them. Empty
 * where nothing is so far inside.
 *
 * A field contoured by straight lines comes out thin where the surface is rounded, so each corner is
 * put where it belongs, from the triangles that are nearest around it, and where it bends more than
 * straight lines can follow there are more of them.
 *
 * @param by mm
 */
export function offsetSurface(
  mesh: Mesh,
  by: number,
  side: "outside" | "inside",
  { step, sag }: OffsetDetail,
  [low, high]: readonly [number, number],
): Mesh {
  const field = distanceField(mesh, { step, level: by, side, low, high });
  const rough = contour(field, by);
  const count = rough.positions.length / 3;
  const points = new OffsetPoints(mesh, by, field, count);
  for (let i = 0; i < count; i++) points.settle(i, rough.positions, [], MOST_MOVE * field.step);
  const surface = refined(rough, points, sag);
  if (side === "inside") turnInsideOut(surface.triangles);
  return closedBelowAndAbove(surface, [
    field.origin[2],
    field.origin[2] + field.step * (field.counts[2] - 1),
  ]);
}

/** Level caps where the surface runs out of its field, which it does at its lowest and its highest layer only. */
function closedBelowAndAbove(
  { positions, triangles }: Mesh,
  [lowest, highest]: readonly [number, number],
): Mesh {
  const border = new Border();
  for (let i = 0; i < triangles.length; i++) {
    const [a, b] = [triangles[i], triangles[i % 3 === 2 ? i - 2 : i + 1]];
    const z = positions[3 * a + 2];
    if ((z === lowest || z === highest) && positions[3 * b + 2] === z) border.edge(a, b);
  }
  const loops = border.loops();
  if (loops.length === 0) return { positions, triangles };
  const heights = loops.map(([first]) => positions[3 * first + 2]);
  const more: number[] = [];
  for (const up of [false, true]) {
    // Seen from above, edges of the side run counter-clockwise along the foot and clockwise along the top.
    const own = loops.filter((_, i) => heights[i] === (up ? highest : lowest));
    const turned = up ? own.map((loop) => [...loop].reverse()) : own;
    if (turned.length === 0) continue;
    const vertices = turned.flat();
    const cap = triangulateLoops(
      turned.map((loop) => loop.flatMap((v) => [positions[3 * v], positions[3 * v + 1]])),
    );
    for (let i = 0; i < cap.length; i += 3) {
      const [a, b, c] = [vertices[cap[i]], vertices[cap[i + 1]], vertices[cap[i + 2]]];
      if (up) more.push(a, b, c);
      else more.push(a, c, b);
    }
  }
  const all = new Uint32Array(triangles.length + more.length);
  all.set(triangles);
  all.set(more, triangles.length);
  return { positions, triangles: all };
}

/** A corner that would have to go further than this share of a step is left where it is. */
const MOST_MOVE = 0.5;

function turnInsideOut(t: Uint32Array): void {
  for (let i = 0; i < t.length; i += 3) [t[i], t[i + 1]] = [t[i + 1], t[i]];
}
