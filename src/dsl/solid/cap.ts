import Constrainautor from "@kninnug/constrainautor";
import Delaunator from "delaunator";

/**
 * Triangulates a level face bounded by simple loops (the outer counter-clockwise, holes clockwise),
 * using every vertex of the loops and no other, so that it joins the walls without T-junctions.
 * A constrained Delaunay triangulation: points in a row on a straight edge are kept.
 *
 * @param loops xy pairs, one after another
 * @returns vertex triples, counter-clockwise, indices running through all loops in order
 */
export function triangulateLoops(loops: readonly (readonly number[])[]): Uint32Array {
  const coordinates = Float64Array.from(loops.flat());
  const edges: [number, number][] = [];
  let start = 0;
  for (const loop of loops) {
    const count = loop.length / 2;
    for (let i = 0; i < count; i++) edges.push([start + i, start + ((i + 1) % count)]);
    start += count;
  }
  const delaunay = new Delaunator(coordinates);
  const constrained = new Constrainautor(delaunay);
  constrained.constrainAll(edges);

  // Walk inwards from the loops: the triangle on the left of a loop edge lies in the face.
  const { triangles, halfedges } = delaunay;
  const border = new Set(edges.map(([a, b]) => a * start + b));
  const inside = new Uint8Array(triangles.length / 3);
  const queue: number[] = [];
  for (let e = 0; e < triangles.length; e++) {
    const from = triangles[e];
    const to = triangles[e % 3 === 2 ? e - 2 : e + 1];
    // Delaunator turns clockwise in a frame with y up.
    if (border.has(to * start + from) || border.has(from * start + to)) {
      const left = border.has(from * start + to) === isCounterClockwise(coordinates, triangles, e);
      const t = Math.floor(e / 3);
      if (left && !inside[t]) {
        inside[t] = 1;
        queue.push(t);
      }
    }
  }
  while (queue.length > 0) {
    const t = queue.pop()!;
    for (let e = 3 * t; e < 3 * t + 3; e++) {
      const from = triangles[e];
      const to = triangles[e % 3 === 2 ? e - 2 : e + 1];
      if (border.has(from * start + to) || border.has(to * start + from)) continue;
      const next = halfedges[e] < 0 ? -1 : Math.floor(halfedges[e] / 3);
      if (next >= 0 && !inside[next]) {
        inside[next] = 1;
        queue.push(next);
      }
    }
  }
  const result: number[] = [];
  for (let t = 0; t < inside.length; t++) {
    if (!inside[t]) continue;
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    if (isCounterClockwise(coordinates, triangles, 3 * t)) result.push(a, b, c);
    else result.push(a, c, b);
  }
  return Uint32Array.from(result);
}

function isCounterClockwise(p: Float64Array, triangles: Uint32Array, e: number): boolean {
  const t = 3 * Math.floor(e / 3);
  const [a, b, c] = [2 * triangles[t], 2 * triangles[t + 1], 2 * triangles[t + 2]];
  return (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]) > 0;
}
