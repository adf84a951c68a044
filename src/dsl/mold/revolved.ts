import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Vec3 } from "./model.ts";
import type { Face, FaceRun } from "../solid/tagged.ts";

/** Where a turned solid stands: its origin, its axis and a direction square to the axis. */
export interface Frame {
  at: Vec3;
  axis: Vec3;
  side: Vec3;
}

/**
 * A solid turned about its axis.
 *
 * @param profile radius and height along the axis, mm, from the lowest point to the highest;
 *   first and last are closed by flat discs, or by a point where the radius is 0
 */
export function revolved(
  profile: readonly { r: number; h: number }[],
  frame: Frame,
  segments: number,
  face: Face,
  call: CallId,
): { mesh: Mesh; runs: FaceRun[] } {
  const { at, axis, side } = frame;
  const third: Vec3 = [
    axis[1] * side[2] - axis[2] * side[1],
    axis[2] * side[0] - axis[0] * side[2],
    axis[0] * side[1] - axis[1] * side[0],
  ];
  const builder = new MeshBuilder(profile.length * segments);
  builder.face(face, call);
  const point = (r: number, h: number, k: number) => {
    const cos = r * Math.cos((2 * Math.PI * k) / segments);
    const sin = r * Math.sin((2 * Math.PI * k) / segments);
    const [x, y, z] = [0, 1, 2].map((i) => at[i] + axis[i] * h + side[i] * cos + third[i] * sin);
    return builder.vertex(x, y, z);
  };
  const rings = profile.map(({ r, h }) =>
    Array.from({ length: segments }, (_, k) => point(r, h, r === 0 ? 0 : k)),
  );
  for (let p = 0; p + 1 < rings.length; p++) {
    for (let k = 0; k < segments; k++) {
      const n = (k + 1) % segments;
      builder.quad(rings[p][k], rings[p][n], rings[p + 1][n], rings[p + 1][k]);
    }
  }
  const first = point(0, profile[0].h, 0);
  const last = point(0, profile[profile.length - 1].h, 0);
  for (let k = 0; k < segments; k++) {
    const n = (k + 1) % segments;
    builder.triangle(first, rings[0][n], rings[0][k]);
    builder.triangle(last, rings[rings.length - 1][k], rings[rings.length - 1][n]);
  }
  return builder.finish();
}

/**
 * A solid through level outlines with equally many corners.
 *
 * @param levels from the lowest up; corners counter-clockwise, along `frame.side` and across it, mm
 */
export function stacked(
  levels: readonly { h: number; corners: readonly (readonly [number, number])[] }[],
  frame: Frame,
  face: Face,
  call: CallId,
): { mesh: Mesh; runs: FaceRun[] } {
  const { at, axis, side } = frame;
  const across: Vec3 = [
    axis[1] * side[2] - axis[2] * side[1],
    axis[2] * side[0] - axis[0] * side[2],
    axis[0] * side[1] - axis[1] * side[0],
  ];
  const builder = new MeshBuilder(4 * levels.length);
  builder.face(face, call);
  const rings = levels.map(({ h, corners }) =>
    corners.map(([x, y]) => {
      const [px, py, pz] = [0, 1, 2].map((i) => at[i] + axis[i] * h + side[i] * x + across[i] * y);
      return builder.vertex(px, py, pz);
    }),
  );
  const count = rings[0].length;
  for (let r = 0; r + 1 < rings.length; r++)
    for (let k = 0; k < count; k++) {
      const n = (k + 1) % count;
      builder.quad(rings[r][k], rings[r][n], rings[r + 1][n], rings[r + 1][k]);
    }
  const [low, high] = [rings[0], rings[rings.length - 1]];
  for (let k = 1; k + 1 < count; k++) {
    builder.triangle(low[0], low[k + 1], low[k]);
    builder.triangle(high[0], high[k], high[k + 1]);
  }
  return builder.finish();
}
