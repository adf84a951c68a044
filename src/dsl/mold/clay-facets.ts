import { normalOf, type Column } from "../form/form.ts";
import type { Grid } from "./grid.ts";
import type { SeamLine } from "./seams.ts";

/** Unit outward normals of the clay that one part touches, at grid vertices, with their places; xyz after xyz. */
export interface ClayNormals {
  normals: Float64Array;
  points: Float64Array;
  /** Area of surface that each normal stands for, mm², roughly: its share of the cells around it. */
  areas: Float64Array;
}

const NEAR = 1e-6;

/**
 * The surface normals of the cavity between two seams, at the grid's vertices: surface normals, not
 * facet normals, which would report draft where there is none. A corner gives the normals of both
 * its sides, a seam only that of the side within the part.
 */
export function clayNormals(grid: Grid, from: SeamLine, to: SeamLine): ClayNormals {
  const normals: number[] = [];
  const points: number[] = [];
  const areas: number[] = [];
  const { form } = grid;
  const sharp = form.side === "straight" ? form.zs.slice(1, -1) : [];
  const seamColumns = new Map<string, Column>();
  const seamColumn = (u: number, side: -1 | 1) => {
    const key = `${u} ${side}`;
    let column = seamColumns.get(key);
    if (!column) seamColumns.set(key, (column = form.column(u, side)));
    return column;
  };
  grid.zs.forEach((z, j) => {
    const bends = sharp.some((own) => Math.abs(own - z) < 1e-3);
    const rise = ((grid.zs[j + 1] ?? z) - (grid.zs[j - 1] ?? z)) / 2;
    const add = (column: Column, width: number) => {
      const sides = bends ? [false, true] : [z === grid.zs[grid.zs.length - 1]];
      for (const below of sides) {
        const p = column.at(z, below);
        normals.push(...normalOf(p));
        points.push(p.x, p.y, z);
        const slant = Math.hypot(p.uy, p.ux, p.ux * p.zy - p.uy * p.zx);
        areas.push((slant * width * rise) / sides.length);
      }
    };
    const start = from.us[j];
    let end = to.us[j];
    while (end <= start + 1e-9) end += 1;
    const inside = grid.columns
      .map((one) => ({ ...one, turned: one.u + Math.ceil(start + NEAR - one.u) }))
      .filter((one) => one.turned < end - NEAR)
      .sort((a, b) => a.turned - b.turned);
    const us = [start, ...inside.map((one) => one.turned), end];
    add(seamColumn(start, 1), (us[1] - start) / 2);
    inside.forEach(({ column, before }, i) => {
      const [low, own, high] = [us[i], us[i + 1], us[i + 2]];
      if (before) {
        add(column, (high - own) / 2);
        add(before, (own - low) / 2);
      } else add(column, (high - low) / 2);
    });
    add(seamColumn(end, -1), (end - us[us.length - 2]) / 2);
  });
  return {
    normals: Float64Array.from(normals),
    points: Float64Array.from(points),
    areas: Float64Array.from(areas),
  };
}

/** Unit normals of a run of triangles, for faces to slide on. `flip` turns them into the neighbour's. */
export function facetNormals(
  mesh: { positions: Float64Array; triangles: Uint32Array },
  runs: readonly { face: string; start: number; count: number }[],
  faces: ReadonlySet<string>,
  flip: boolean,
): Float64Array {
  const { positions: p, triangles: t } = mesh;
  const normals: number[] = [];
  const sign = flip ? -1 : 1;
  for (const run of runs) {
    if (!faces.has(run.face)) continue;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
      const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
      const ux = p[b] - p[a];
      const uy = p[b + 1] - p[a + 1];
      const uz = p[b + 2] - p[a + 2];
      const vx = p[c] - p[a];
      const vy = p[c + 1] - p[a + 1];
      const vz = p[c + 2] - p[a + 2];
      const x = uy * vz - uz * vy;
      const y = uz * vx - ux * vz;
      const z = ux * vy - uy * vx;
      const length = sign * Math.hypot(x, y, z);
      if (length !== 0) normals.push(x / length, y / length, z / length);
    }
  }
  return Float64Array.from(normals);
}
