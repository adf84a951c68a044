import type { SurfaceGeometry, SurfaceView } from "../../shared/engine.ts";

type Vec = [number, number, number];

/** The six sides of a box, each two triangles; `inward` for a hollow. */
const sides = [
  [0, 2, 3, 1],
  [4, 5, 7, 6],
  [0, 1, 5, 4],
  [2, 6, 7, 3],
  [0, 4, 6, 2],
  [1, 3, 7, 5],
];

/**
 * A solid box between two corners, mm, with another taken out of it. One run a side in the order
 * below, above, front, back, left, right, made by calls `firstCall` … `firstCall + 5`.
 */
export function box(
  name: string,
  role: SurfaceView["role"],
  {
    from,
    to,
    hollow,
    apart = null,
    firstCall = 1,
  }: {
    from: Vec;
    to: Vec;
    hollow?: { from: Vec; to: Vec };
    apart?: Vec | null;
    firstCall?: number;
  },
): SurfaceView {
  const corners: number[] = [];
  const triangles: number[] = [];
  const shell = (low: Vec, high: Vec, inward: boolean) => {
    const base = corners.length / 3;
    for (let i = 0; i < 8; i++)
      corners.push(i & 1 ? high[0] : low[0], i & 2 ? high[1] : low[1], i & 4 ? high[2] : low[2]);
    for (const [a, b, c, d] of sides) {
      const [p, q] = inward ? [d, b] : [b, d];
      triangles.push(base + a, base + p, base + c, base + a, base + c, base + q);
    }
  };
  shell(from, to, false);
  if (hollow) shell(hollow.from, hollow.to, true);
  const geometry: SurfaceGeometry = {
    positions: Uint16Array.from(corners, (at, i) =>
      Math.round(((at - from[i % 3]) / (to[i % 3] - from[i % 3])) * 65535),
    ),
    min: from,
    max: to,
    triangles: Uint32Array.from(triangles),
    edges: Uint32Array.from([0, 1, 1, 3, 3, 2, 2, 0, 4, 5, 5, 7, 7, 6, 6, 4, 0, 4, 1, 5, 2, 6, 3, 7]),
    groups: ["below", "above", "front", "back", "left", "right"].map((label, i) => ({
      start: 2 * i,
      count: 2,
      call: firstCall + i,
      label,
    })),
  };
  return { name, role, digest: JSON.stringify([name, from, to, hollow]), geometry, apart };
}
