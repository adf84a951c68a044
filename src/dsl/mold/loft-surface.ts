import { Form, normalOf, type Column } from "../form/form.ts";
import type { Body } from "../kit/body.ts";
import { triangulateLoops } from "../solid/cap.ts";
import type { NormalMesh } from "../solid/kernel.ts";
import { snap } from "../solid/weld.ts";
import { makeGrid } from "./grid.ts";
import type { Vec3 } from "./model.ts";

/** One column of the grid as a strip beside it needs it: where it stands and how the surface looks there. */
interface Edge {
  index: number;
  column: Column;
}

/**
 * A loft as one closed surface with its own normals, wet size; a vertex on an edge is there once for
 * each side. Its level sections may have any shape.
 *
 * @param runOn how far it goes on upright below its foot and above its rim, mm; 0 to end there
 */
export function loftSurface(
  body: Body,
  scale: number,
  tolerance: number,
  runOn: { foot: number; rim: number } = { foot: 0, rim: 0 },
): NormalMesh {
  const form = new Form(body, scale);
  const grid = makeGrid(form, { tolerance, us: [], zs: [], turn: 0.26 });
  const { columns, zs, x, y } = grid;
  const count = columns.length;
  const last = zs.length - 1;
  const positions: number[] = [];
  const normals: number[] = [];
  const triangles: number[] = [];
  const vertex = (i: number, j: number, z: number, normal: Vec3): number => {
    positions.push(x[j][i], y[j][i], z);
    normals.push(...normal);
    return positions.length / 3 - 1;
  };
  const quad = (a: number, b: number, c: number, d: number) => triangles.push(a, b, c, a, c, d);
  const level = ([nx, ny]: Vec3): Vec3 => {
    const length = Math.hypot(nx, ny);
    return [nx / length, ny / length, 0];
  };
  const bends = (j: number) =>
    form.side === "straight" && form.zs.slice(1, -1).some((z) => Math.abs(z - zs[j]) < 1e-3);

  for (let i = 0; i < count; i++) {
    const k = (i + 1) % count;
    const edges: Edge[] = [
      { index: i, column: columns[i].column },
      { index: k, column: columns[k].before ?? columns[k].column },
    ];
    const row = (j: number, below: boolean) =>
      edges.map(({ index, column }) => vertex(index, j, zs[j], normalOf(column.at(zs[j], below))));
    let low = row(0, false);
    for (let j = 0; j < last; j++) {
      const high = row(j + 1, j + 1 === last || bends(j + 1));
      quad(low[0], low[1], high[1], high[0]);
      low = bends(j + 1) ? row(j + 1, false) : high;
    }
    // Upright behind foot and rim.
    const upright = (j: number, from: number, to: number) => {
      if (to <= from) return;
      const at = (z: number) =>
        edges.map(({ index, column }) => vertex(index, j, z, level(normalOf(column.at(zs[j], j > 0)))));
      const [under, over] = [at(from), at(to)];
      quad(under[0], under[1], over[1], over[0]);
    };
    upright(0, snap(zs[0] - runOn.foot), zs[0]);
    upright(last, zs[last], snap(zs[last] + runOn.rim));
  }
  const cap = (j: number, z: number, up: 1 | -1) => {
    // Points that fall together, as in the fillet of a sharp corner, are one.
    const ring = columns
      .map((_, i) => i)
      .filter((i) => {
        const k = (i + 1) % count;
        return x[j][i] !== x[j][k] || y[j][i] !== y[j][k];
      });
    const at = ring.map((i) => vertex(i, j, z, [0, 0, up]));
    const faces = triangulateLoops([ring.flatMap((i) => [x[j][i], y[j][i]])]);
    for (let f = 0; f < faces.length; f += 3) {
      const [a, b, c] = [at[faces[f]], at[faces[f + 1]], at[faces[f + 2]]];
      if (up > 0) triangles.push(a, b, c);
      else triangles.push(a, c, b);
    }
  };
  cap(0, snap(zs[0] - runOn.foot), -1);
  cap(last, snap(zs[last] + runOn.rim), 1);
  return {
    positions: Float64Array.from(positions),
    normals: Float64Array.from(normals),
    triangles: withoutLines(positions, triangles),
  };
}

/** Triangles whose corners do not fall together. */
function withoutLines(p: readonly number[], t: readonly number[]): Uint32Array {
  const same = (a: number, b: number) =>
    p[3 * a] === p[3 * b] && p[3 * a + 1] === p[3 * b + 1] && p[3 * a + 2] === p[3 * b + 2];
  const kept: number[] = [];
  for (let i = 0; i < t.length; i += 3)
    if (!same(t[i], t[i + 1]) && !same(t[i + 1], t[i + 2]) && !same(t[i + 2], t[i]))
      kept.push(t[i], t[i + 1], t[i + 2]);
  return Uint32Array.from(kept);
}
