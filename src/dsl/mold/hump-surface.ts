import type { Form } from "../form/form.ts";
import type { Facets } from "../leaving/facets.ts";
import { triangulateLoops } from "../solid/cap.ts";
import { joinChains } from "../solid/strip.ts";
import { snap } from "../solid/weld.ts";
import { LEAST_STEP } from "../tolerances.ts";
import { makeGrid, type Grid } from "./grid.ts";
import { eroder, type ShellRow } from "./shell.ts";

/** One level of the surface that the slab lies on, counter-clockwise; the ring closes from the last point to the first. */
export interface HumpRing {
  z: number;
  /** Along the outline, rising. */
  us: number[];
  points: { x: number; y: number }[];
  /** Outward unit normals of the slab's other side, which are those of this side too. */
  normals: [number, number, number][];
}

/** The side that a slab over a hump touches: everywhere one slab inside the outside of the pot. */
export interface HumpSurface {
  /** The pot's outside. */
  grid: Grid;
  /** From the flat under the pot's base up to the mouth. */
  rings: HumpRing[];
}

/** Halvings of the rows while the surface between two strays; a kink is then found to a few hundredths of a mm. */
const ROUNDS = 9;
/** Rows are never nearer than this for the surface's sake, mm. */
const LEAST_ROW = 3 * LEAST_STEP;
const MOST_ROWS = 900;
/** Points of a ring nearer to each other than this, mm, are one. */
const LEAST_EDGE = 0.02;
/** Half-width that the lowest ring has at least where the slab closes to a point, mm. */
const TIP = 0.3;

/**
 * The surface of a hump. Null where the slab fills the pot at some height above one where it leaves
 * room, or everywhere.
 *
 * @param slab wet, mm
 * @param demands in-surface error, mm, and greatest turn between neighbouring normals, radians
 */
export function humpSurface(
  form: Form,
  slab: number,
  demands: { tolerance: number; turn: number },
): HumpSurface | null {
  // Half of the error is for the surface pushed in, between its rows.
  const { tolerance, turn } = demands;
  const first = makeGrid(form, { tolerance: tolerance / 2, us: [], zs: [], turn });
  const base = lowestRoom(first, slab);
  if (base === null) return null;
  const read = eroder(first, slab);
  const lines: Line[] = [];
  const add = (zs: readonly number[]) => {
    const rows = rowsOf(first, zs);
    lines.push(...read(rows).rows.map((row, j) => lineOf(rows, row, j)));
    lines.sort((a, b) => a.z - b.z);
  };
  add([base, ...first.zs.filter((z) => z > base + LEAST_STEP)]);
  for (let round = 0; round < ROUNDS && lines.length < MOST_ROWS; round++) {
    const more = rowsWanted(lines, tolerance / 4);
    if (more.length === 0) break;
    add(more);
  }
  const rings = lines.map(ringOf);
  return rings.every((ring): ring is HumpRing => ring !== null) ? { grid: first, rings } : null;
}

/** The clay that the hump touches: normals out of the clay, into the hump. */
export function humpFacets(rings: readonly HumpRing[]): Facets {
  const positions: number[] = [];
  const normals: number[] = [];
  const triangles: number[] = [];
  const vertex = (x: number, y: number, z: number, n: readonly number[]) => {
    positions.push(x, y, z);
    normals.push(...n);
    return positions.length / 3 - 1;
  };
  const chains = rings.map(({ z, us, points, normals: n }) => {
    const vertices = points.map(({ x, y }, i) =>
      vertex(
        x,
        y,
        z,
        n[i].map((value) => 0 - value),
      ),
    );
    return { keys: [...us, us[0] + 1], vertices: [...vertices, vertices[0]] };
  });
  for (let r = 0; r + 1 < chains.length; r++) {
    const [low, high] = [chains[r], chains[r + 1]];
    const at = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
    joinChains(low.keys, high.keys, (a, b, c) => triangles.push(at(a), at(c), at(b)));
  }
  const [lowest] = rings;
  const floor = lowest.points.map(({ x, y }) => vertex(x, y, lowest.z, [0, 0, 1]));
  for (const corner of triangulateLoops([lowest.points.flatMap(({ x, y }) => [x, y])]))
    triangles.push(floor[corner]);
  return {
    positions: Float64Array.from(positions),
    normals: Float64Array.from(normals),
    triangles: Uint32Array.from(triangles),
  };
}

/** Heights between rows that are looked at for room, mm. */
const ROOM_STEP = 1;

/**
 * The lowest height at which the slab under the pot and at its sides leaves room, mm; null where
 * there is none, or none again higher up.
 */
function lowestRoom(grid: Grid, slab: number): number | null {
  const { form } = grid;
  const roomy = (z: number) => z >= slab && distanceToSide(grid, z, slab) >= slab;
  const count = Math.max(2, Math.ceil((form.height - slab) / ROOM_STEP));
  if (!(form.height > slab + LEAST_ROW)) return null;
  const heights = Array.from({ length: count + 1 }, (_, i) => slab + ((form.height - slab) * i) / count);
  const known = heights.map(roomy);
  // A foot on the axis touches its own slab by a hair.
  if (distanceToSide(grid, slab, slab) >= slab - LEAST_STEP) known[0] = true;
  const start = known.indexOf(true);
  if (start < 0 || known.slice(start).includes(false)) return null;
  if (start === 0) return snap(slab);
  let [low, high] = [heights[start - 1], heights[start]];
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (roomy(middle)) high = middle;
    else low = middle;
  }
  return snap(Math.min(high + TIP, (high + form.height) / 2));
}

/** From the middle of a level to the side of the pot, mm; beyond `within` levels it is not looked at. */
function distanceToSide(grid: Grid, z: number, within: number): number {
  const c = grid.form.centre(z);
  let least = Infinity;
  grid.zs.forEach((row, j) => {
    if (Math.abs(row - z) > within + LEAST_STEP) return;
    const rise = (row - z) * (row - z);
    const [x, y] = [grid.x[j], grid.y[j]];
    for (let i = 0; i < x.length; i++)
      least = Math.min(least, (x[i] - c.x) * (x[i] - c.x) + (y[i] - c.y) * (y[i] - c.y) + rise);
  });
  return Math.sqrt(least);
}

/** The columns of a grid on rows of their own. */
export function rowsOf({ form, columns }: Grid, heights: readonly number[]): Grid {
  const zs = [...new Set(heights.map(snap))].sort((a, b) => a - b);
  const read = (z: number, axis: "x" | "y") =>
    Float64Array.from(columns, ({ column }) => snap(column.at(z)[axis]));
  return {
    form,
    columns,
    zs,
    centres: zs.map((z) => form.centre(z)),
    x: zs.map((z) => read(z, "x")),
    y: zs.map((z) => read(z, "y")),
  };
}

/** A row as it was read, and where the rays through the grid's own columns meet the surface on it. */
interface Line {
  z: number;
  centre: { x: number; y: number };
  row: ShellRow;
  onColumns: { x: number; y: number }[];
}

function lineOf(grid: Grid, row: ShellRow, j: number): Line {
  const { angles, radii, us } = row;
  const centre = grid.centres[j];
  let i = 0;
  const onColumns = grid.columns.map(({ u }) => {
    while (i + 1 < us.length && us[i] !== u) i++;
    return { x: centre.x + radii[i] * Math.cos(angles[i]), y: centre.y + radii[i] * Math.sin(angles[i]) };
  });
  return { z: grid.zs[j], centre, row, onColumns };
}

/** Middles of the steps between rows where the surface strays from the straight way by more than `limit`, mm. */
function rowsWanted(lines: readonly Line[], limit: number): number[] {
  const wanted = new Set<number>();
  for (let j = 1; j + 1 < lines.length; j++) {
    const [low, here, high] = [lines[j - 1], lines[j], lines[j + 1]];
    const strays = here.onColumns.some((p, i) => {
      const [a, b] = [low.onColumns[i], high.onColumns[i]];
      // Half-way in one of the two steps it is about a quarter of what it is at the row between them.
      return awayFrom([p.x, p.y, here.z], [a.x, a.y, low.z], [b.x, b.y, high.z]) / 4 > limit;
    });
    if (!strays) continue;
    if (here.z - low.z > 2 * LEAST_ROW) wanted.add((low.z + here.z) / 2);
    if (high.z - here.z > 2 * LEAST_ROW) wanted.add((here.z + high.z) / 2);
  }
  return [...wanted];
}

type Triple = readonly [number, number, number];

/** Distance of a point from the line through two others, mm. */
function awayFrom(p: Triple, a: Triple, b: Triple): number {
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const v = [p[0] - a[0], p[1] - a[1], p[2] - a[2]];
  const cross = Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]);
  return cross / Math.hypot(u[0], u[1], u[2]);
}

/** A row of the surface without points that fall together; null where a ray meets nothing. */
function ringOf({ z, centre: c, row }: Line): HumpRing | null {
  const { angles, radii, us, normals } = row;
  const ring: HumpRing = { z, us: [], points: [], normals: [] };
  for (let i = 0; i < angles.length; i++) {
    if (!Number.isFinite(radii[i])) return null;
    const x = snap(c.x + radii[i] * Math.cos(angles[i]));
    const y = snap(c.y + radii[i] * Math.sin(angles[i]));
    const near = (other: { x: number; y: number } | undefined) =>
      other !== undefined && Math.hypot(x - other.x, y - other.y) < LEAST_EDGE;
    if (near(ring.points.at(-1)) || near(ring.points[0])) continue;
    ring.us.push(ring.us.length === 0 ? us[0] : Math.max(us[i], ring.us[ring.us.length - 1]));
    ring.points.push({ x, y });
    ring.normals.push([normals![3 * i], normals![3 * i + 1], normals![3 * i + 2]]);
  }
  return ring.points.length < 3 ? null : ring;
}
