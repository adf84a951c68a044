import { normalOf, type Column } from "../form/form.ts";
import type { Facets } from "../leaving/facets.ts";

import { facetCross } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { joinChains } from "../solid/strip.ts";
import type { Grid } from "./grid.ts";
import type { SeamLine } from "./seams.ts";
import type { FaceRun } from "../solid/tagged.ts";

/** A place of the outline on one row: its u and the vertices that carry the normals of its two sides. */
interface Spot {
  u: number;
  before: number;
  after: number;
}

const NEAR = 1e-6;

/**
 * The clay that a part between two seams touches, with surface normals at the grid's vertices:
 * facet normals would report draft where there is none. A vertex on a corner or on a sharp level
 * edge is there once for each side; on a seam it has only the side within the part.
 */
export function clayFacets(grid: Grid, from: SeamLine, to: SeamLine): Facets {
  const { form } = grid;
  const positions: number[] = [];
  const normals: number[] = [];
  const triangles: number[] = [];
  const sharp = form.side === "straight" ? form.zs.slice(1, -1) : [];
  const seamColumns = new Map<string, Column>();
  const seamColumn = (u: number, side: -1 | 1) => {
    const key = `${u} ${side}`;
    let column = seamColumns.get(key);
    if (!column) seamColumns.set(key, (column = form.column(u, side)));
    return column;
  };
  const chainOn = (j: number, below: boolean): Spot[] => {
    const z = grid.zs[j];
    const start = from.us[j];
    let end = to.us[j];
    while (end <= start + 1e-9) end += 1;
    const vertex = (column: Column, x: number, y: number) => {
      positions.push(x, y, z);
      normals.push(...normalOf(column.at(z, below)));
      return positions.length / 3 - 1;
    };
    const inside: Spot[] = [];
    const count = grid.columns.length;
    for (let i = 0; i < count; i++) {
      const { u, column, before } = grid.columns[i];
      const turned = u + Math.ceil(start + NEAR - u);
      if (turned >= end - NEAR) continue;
      const after = vertex(column, grid.x[j][i], grid.y[j][i]);
      inside.push({
        u: turned,
        after,
        before: before ? vertex(before, grid.x[j][i], grid.y[j][i]) : after,
      });
    }
    inside.sort((a, b) => a.u - b.u);
    const first = vertex(seamColumn(start, 1), from.x[j], from.y[j]);
    const last = vertex(seamColumn(end, -1), to.x[j], to.y[j]);
    return [{ u: start, before: first, after: first }, ...inside, { u: end, before: last, after: last }];
  };

  const rows = grid.zs.length;
  let low = chainOn(0, false);
  for (let j = 0; j + 1 < rows; j++) {
    const bends = sharp.some((z) => Math.abs(z - grid.zs[j + 1]) < 1e-3);
    const high = chainOn(j + 1, bends || j + 2 === rows);
    const spot = (index: number) => (index < 0 ? high[~index] : low[index]);
    joinChains(
      low.map((one) => one.u),
      high.map((one) => one.u),
      (a, b, c) => {
        const corners = [spot(a), spot(b), spot(c)];
        const middle = (corners[0].u + corners[1].u + corners[2].u) / 3;
        triangles.push(...corners.map((one) => (middle < one.u ? one.before : one.after)));
      },
    );
    low = bends ? chainOn(j + 1, false) : high;
  }
  return {
    positions: Float64Array.from(positions),
    normals: Float64Array.from(normals),
    triangles: Uint32Array.from(triangles),
  };
}

/** Unit outward normals of the facets of some faces. */
export function facetNormals(mesh: Mesh, runs: readonly FaceRun[], face: FaceRun["face"]): Float64Array {
  const normals: number[] = [];
  for (const run of runs) {
    if (run.face !== face) continue;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
      const [x, y, z] = facetCross(mesh, i);
      const length = Math.hypot(x, y, z);
      if (length > 0) normals.push(x / length, y / length, z / length);
    }
  }
  return Float64Array.from(normals);
}
