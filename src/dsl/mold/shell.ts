import type { Grid } from "./grid.ts";
import { normalOf } from "../form/form.ts";
import type { Column } from "../form/form.ts";
import { SHELL_MARGIN } from "../tolerances.ts";

/** A surface around the cavity's axis on each row: rays from the row's centre, rising in angle. */
export interface Shell {
  rows: ShellRow[];
}

export interface ShellRow {
  /** Angle of each ray, radians, rising, all within one turn from the first. */
  angles: Float64Array;
  /** Where each ray leaves the cavity, u without jumps along the row. */
  us: Float64Array;
  /** Distance from the centre to the surface, mm. */
  radii: Float64Array;
  /** Outward unit normals of the cavity's side where the surface was pushed off it, xyz; only where asked for. */
  normals?: Float64Array;
}

const TURN = 2 * Math.PI;

/**
 * The dilation of the cavity's side surface by `wall`, read along the rays of each row: every
 * surface point is pushed out along its normal (fans of normals at edges), the pushed surface may
 * fold, and each ray keeps its largest crossing. The surface runs on straight beyond foot and rim,
 * so that the shell is as thick there as anywhere.
 *
 * Chords of the pushed surface fall short of the dilation by their sagitta, so it is pushed
 * `SHELL_MARGIN` further.
 */
export function dilate(grid: Grid, wall: number): Shell {
  const shell = pushSurface(grid, wall + SHELL_MARGIN, (radius, kept) => radius > kept, -Infinity);
  shell.rows.forEach((row, j) => {
    if (row.radii.some((radius) => !(radius > 0))) {
      throw new Error(`the shell has no outside on some ray at z ${grid.zs[j]}`);
    }
  });
  return shell;
}

/**
 * The inner surface of a slab laid against the cavity's side: points at least `slab` from it. As
 * `dilate`, inwards, each ray keeping its smallest crossing. A row that the slab fills has radius 0.
 */
export function erode(grid: Grid, slab: number): Shell {
  const known = eroded.get(grid);
  if (known?.slab === slab) return known.shell;
  const shell = erodeAnew(grid, slab);
  eroded.set(grid, { slab, shell });
  return shell;
}

/**
 * The same surface, to be read on any rows with the cavity's normals on each ray. A ray that meets
 * nothing is infinite; that a row is filled by the slab is for the caller to know.
 */
export function eroder(grid: Grid, slab: number): (rows: Grid) => Shell {
  const pushed = pushOff(grid, -slab, true);
  const nearestRow = (z: number) => pushed.extra[lastNotAbove(grid.zs, z)];
  return (rows) =>
    readRows(rows, pushed, rows.zs.map(nearestRow), (radius, kept) => radius > 0 && radius < kept, Infinity);
}

/** Capacity, press and checks all ask for the room inside the same slab. */
const eroded = new WeakMap<Grid, { slab: number; shell: Shell }>();

function erodeAnew(grid: Grid, slab: number): Shell {
  const shell = pushSurface(grid, -slab, (radius, kept) => radius > 0 && radius < kept, Infinity);
  shell.rows.forEach((row, j) => {
    const c = grid.centres[j];
    const filled = grid.columns.some(({ column }) => {
      const p = column.at(grid.zs[j]);
      const [nx, ny] = normalOf(p);
      return nx * (p.x - c.x) + ny * (p.y - c.y) <= slab;
    });
    if (filled || row.radii.some((radius) => !Number.isFinite(radius))) row.radii.fill(0);
  });
  return shell;
}

/** Pushes the side surface along its normals, mm outwards, and lets each ray of each row keep one crossing. */
function pushSurface(
  grid: Grid,
  push: number,
  better: (radius: number, kept: number) => boolean,
  none: number,
): Shell {
  const pushed = pushOff(grid, push, false);
  return readRows(grid, pushed, pushed.extra, better, none);
}

/** The side surface pushed off along its normals; it may fold. */
interface PushedSurface {
  /** xyz, `count` points for each of its heights. */
  positions: Float64Array;
  /** The normals that it was pushed along; null where nobody wants them. */
  normals: Float64Array | null;
  count: number;
  /** Rays that are wanted on each row of its grid. */
  extra: ExtraRay[][];
}

function pushOff(grid: Grid, push: number, withNormals: boolean): PushedSurface {
  const reach = Math.abs(push);
  const turn = fanStep(reach);
  const lines = pushedColumns(grid, turn);
  const heights = pushedHeights(grid, reach, turn);
  const count = lines.length;
  const positions = new Float64Array(3 * count * heights.length);
  const widest = Math.sqrt(8 * reach * RAY_SAG);
  const extra = grid.zs.map(() => [] as ExtraRay[]);
  const normals = withNormals ? new Float64Array(positions.length) : null;

  heights.forEach((height, h) => {
    for (let i = 0; i < count; i++) {
      const { at, ray } = lines[i];
      let p = at.at(height.z, height.below === 1);
      let [nx, ny, nz] = normalAt(lines[i], height.z, height.below === 1);
      if (height.below > 0 && height.below < 1) {
        const other = normalAt(lines[i], height.z, true);
        p = at.at(height.z);
        [nx, ny, nz] = mix([nx, ny, nz], other, height.below);
      }
      const o = 3 * (h * count + i);
      positions[o] = p.x + push * nx;
      positions[o + 1] = p.y + push * ny;
      positions[o + 2] = height.z + push * nz;
      normals?.set([nx, ny, nz], o);
      if (height.row >= 0) {
        const c = grid.centres[height.row];
        const dx = positions[o] - c.x;
        const dy = positions[o + 1] - c.y;
        extra[height.row].push({
          angle: Math.atan2(dy, dx),
          within: ray ? 0 : widest / Math.hypot(dx, dy),
        });
      }
    }
  });

  return { positions, normals, count, extra };
}

/** Lets each ray of each row keep one crossing with a pushed surface. */
function readRows(
  grid: Grid,
  { positions, normals, count }: PushedSurface,
  extra: readonly ExtraRay[][],
  better: Better,
  none: number,
): Shell {
  const rows = grid.zs.map((_, j) => startRow(grid, j, none));
  rows.forEach((row, j) => addRays(row, extra[j], none));
  if (normals) for (const row of rows) row.normals = new Float64Array(3 * row.angles.length);
  const heights = positions.length / 3 / count;
  for (let h = 0; h + 1 < heights; h++) {
    for (let i = 0; i < count; i++) {
      const a = 3 * (h * count + i);
      const b = 3 * (h * count + ((i + 1) % count));
      const c = b + 3 * count;
      const d = a + 3 * count;
      keepCrossings(grid, rows, positions, normals, a, b, c, better);
      keepCrossings(grid, rows, positions, normals, a, c, d, better);
    }
  }
  return { rows };
}

/** Largest turn between neighbouring normals, radians, whose chord stays within 0.03 mm of the arc. */
function fanStep(push: number): number {
  return Math.min(0.26, Math.sqrt(0.24 / push));
}

interface PushedColumn {
  at: Column;
  before: Column | null;
  /** 0: the normal after a corner (or the only one); 1: before it; between: the fan. */
  blend: number;
  /**
   * Its pushed points get rays of their own: a chord past the end of a flat would cut below it.
   * Others get one only where the rays there are far apart.
   */
  ray: boolean;
}

/** A ray through a pushed point, wanted where the grid's own rays are further apart than `within`, radians. */
interface ExtraRay {
  angle: number;
  within: number;
}

/** A chord of the outside may cut this far into its roundest bend, mm, whose radius is the push itself. */
const RAY_SAG = 0.02;

function normalAt(line: PushedColumn, z: number, below: boolean): [number, number, number] {
  const after = normalOf(line.at.at(z, below));
  if (!line.before || line.blend === 0) return after;
  return mix(after, normalOf(line.before.at(z, below)), line.blend);
}

function mix(
  a: [number, number, number],
  b: [number, number, number],
  share: number,
): [number, number, number] {
  // Turns evenly from a to b in their plane.
  const cos = Math.min(1, Math.max(-1, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]));
  const angle = Math.acos(cos);
  if (angle < 1e-6) return a;
  const p = Math.sin((1 - share) * angle) / Math.sin(angle);
  const q = Math.sin(share * angle) / Math.sin(angle);
  return [a[0] * p + b[0] * q, a[1] * p + b[1] * q, a[2] * p + b[2] * q];
}

function pushedColumns(grid: Grid, turn: number): PushedColumn[] {
  const half = grid.zs[grid.zs.length >> 1];
  const marks = new Set(grid.form.marks.map((mark) => mark.u));
  return grid.columns.flatMap(({ u, column, before }): PushedColumn[] => {
    if (!before) return [{ at: column, before: null, blend: 0, ray: marks.has(u) }];
    const [ax, ay] = normalOf(before.at(half));
    const [bx, by] = normalOf(column.at(half));
    const bend = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by));
    const pieces = Math.max(1, Math.ceil(bend / turn));
    return Array.from({ length: pieces + 1 }, (_, k) => ({
      at: column,
      before,
      blend: 1 - k / pieces,
      ray: true,
    }));
  });
}

/** Rows of the pushed surface: the grid's, two for each sharp level edge, and one beyond each end. */
function pushedHeights(grid: Grid, push: number, turn: number): { z: number; below: number; row: number }[] {
  const { form, zs } = grid;
  const sharp =
    form.side === "straight" ? new Set(form.zs.slice(1, -1).map((z) => nearest(zs, z))) : new Set<number>();
  const heights = zs.flatMap((z, row) => {
    if (!sharp.has(row)) return [{ z, below: 0, row }];
    const pieces = Math.ceil(Math.PI / 2 / turn);
    return Array.from({ length: pieces + 1 }, (_, k) => ({
      z: form.zs[form.zs.findIndex((own) => Math.abs(own - z) < 1e-3)],
      below: 1 - k / pieces,
      row,
    }));
  });
  const beyond = push * 2 + 1;
  return [{ z: -beyond, below: 0, row: -1 }, ...heights, { z: form.height + beyond, below: 0, row: -1 }];
}

function nearest(values: readonly number[], wanted: number): number {
  return values.reduce(
    (best, value, i) => (Math.abs(value - wanted) < Math.abs(values[best] - wanted) ? i : best),
    0,
  );
}

function startRow(grid: Grid, j: number, none: number): ShellRow {
  const c = grid.centres[j];
  const count = grid.columns.length;
  const angles = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const angle = Math.atan2(grid.y[j][i] - c.y, grid.x[j][i] - c.x);
    // Columns that fall together on this row share a ray.
    angles[i] =
      i === 0 ? angle : Math.max(angles[i - 1], angle + TURN * Math.round((angles[i - 1] - angle) / TURN));
  }
  return {
    angles,
    us: Float64Array.from(grid.columns, (column) => column.u),
    radii: new Float64Array(count).fill(none),
  };
}

/** Rays nearer to each other than this, radians, are one. */
const LEAST_RAY = 1e-4;

function addRays(row: ShellRow, extra: ExtraRay[], none: number): void {
  if (extra.length === 0) return;
  const first = row.angles[0];
  const rays = Array.from(row.angles, (angle, i) => ({ angle, u: row.us[i], own: true }));
  for (const { angle, within } of extra) {
    const turned = angle + TURN * Math.ceil((first - angle) / TURN);
    if (within > 0 && gapAt(row, turned) <= within) continue;
    rays.push({ angle: turned, u: uOfAngle(row, turned), own: false });
  }
  rays.sort((a, b) => a.angle - b.angle);
  const kept: typeof rays = [];
  for (const ray of rays) {
    const last = kept.at(-1);
    if (last && ray.angle - last.angle < LEAST_RAY) {
      if (ray.own && !last.own) kept[kept.length - 1] = ray;
      else if (ray.own) kept.push(ray);
    } else kept.push(ray);
  }
  // The last rays may have come round to the first.
  while (!kept[kept.length - 1].own && kept[kept.length - 1].angle > first + TURN - LEAST_RAY) kept.pop();
  row.angles = Float64Array.from(kept, (ray) => ray.angle);
  row.us = Float64Array.from(kept, (ray) => ray.u);
  row.radii = new Float64Array(kept.length).fill(none);
}

/** Angle between the grid's own rays on both sides of an angle. */
function gapAt({ angles }: ShellRow, angle: number): number {
  const i = lastNotAbove(angles, angle);
  return (i + 1 < angles.length ? angles[i + 1] : angles[0] + TURN) - angles[i];
}

/** u at an angle of a row, by interpolation; the angle lies within one turn from the first ray. */
function uOfAngle(row: ShellRow, angle: number): number {
  const { angles, us } = row;
  const i = lastNotAbove(angles, angle);
  const nextAngle = i + 1 < angles.length ? angles[i + 1] : angles[0] + TURN;
  const nextU = i + 1 < us.length ? us[i + 1] : us[0] + 1;
  const width = nextAngle - angles[i];
  return width > 0 ? us[i] + ((nextU - us[i]) * (angle - angles[i])) / width : us[i];
}

/** Index of the last value not above `wanted`, at least 0. */
export function lastNotAbove(values: Float64Array | readonly number[], wanted: number): number {
  let low = 0;
  let high = values.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (values[middle] <= wanted) low = middle;
    else high = middle;
  }
  return low;
}

type Better = (radius: number, kept: number) => boolean;

/** Cuts one triangle with the levels of all rows it crosses and lets their rays keep the better crossing. */
function keepCrossings(
  grid: Grid,
  rows: ShellRow[],
  p: Float64Array,
  normals: Float64Array | null,
  a: number,
  b: number,
  c: number,
  better: Better,
): void {
  const low = Math.min(p[a + 2], p[b + 2], p[c + 2]);
  const high = Math.max(p[a + 2], p[b + 2], p[c + 2]);
  const { zs } = grid;
  let j = lastNotAbove(zs, low);
  if (zs[j] < low) j++;
  for (; j < zs.length && zs[j] <= high; j++) {
    const z = zs[j];
    const cut: number[] = [];
    const along: number[] | null = normals ? [] : null;
    cutEdge(p, a, b, z, cut, along);
    cutEdge(p, b, c, z, cut, along);
    cutEdge(p, c, a, z, cut, along);
    const note = (k: number, l: number) =>
      normals && along
        ? (ray: number, share: number) =>
            noteNormal(rows[j].normals!, ray, normalOn(normals, along, k), normalOn(normals, along, l), share)
        : null;
    // Two points, or three when the whole triangle lies in the level.
    for (let k = 0; k + 3 < cut.length; k += 2) {
      const mark = note(k / 2, k / 2 + 1);
      markRays(rows[j], grid.centres[j], cut[k], cut[k + 1], cut[k + 2], cut[k + 3], better, mark);
    }
    if (cut.length === 6)
      markRays(rows[j], grid.centres[j], cut[0], cut[1], cut[4], cut[5], better, note(0, 2));
  }
}

/** @param along receives the ends of the edge and how far along it the cut lies, for each cut */
function cutEdge(
  p: Float64Array,
  a: number,
  b: number,
  z: number,
  cut: number[],
  along: number[] | null,
): void {
  const za = p[a + 2] - z;
  const zb = p[b + 2] - z;
  if (za === 0) {
    cut.push(p[a], p[a + 1]);
    along?.push(a, b, 0);
  } else if (za * zb < 0) {
    const t = za / (za - zb);
    cut.push(p[a] + t * (p[b] - p[a]), p[a + 1] + t * (p[b + 1] - p[a + 1]));
    along?.push(a, b, t);
  }
}

/** The normal at cut `k` of an edge, not of unit length. */
function normalOn(n: Float64Array, along: readonly number[], k: number): [number, number, number] {
  const [a, b, t] = [along[3 * k], along[3 * k + 1], along[3 * k + 2]];
  return [
    n[a] + t * (n[b] - n[a]),
    n[a + 1] + t * (n[b + 1] - n[a + 1]),
    n[a + 2] + t * (n[b + 2] - n[a + 2]),
  ];
}

function noteNormal(
  normals: Float64Array,
  ray: number,
  from: readonly number[],
  to: readonly number[],
  share: number,
): void {
  const n = from.map((value, k) => value + share * (to[k] - value));
  const length = Math.hypot(n[0], n[1], n[2]);
  if (length > 1e-9)
    normals.set(
      n.map((value) => value / length),
      3 * ray,
    );
}

/** Rays this little beyond the end of a segment still count as crossing it, radians: neighbours share their ends. */
const RAY_SLACK = 1e-9;

function markRays(
  row: ShellRow,
  c: { x: number; y: number },
  ax: number,
  ay: number,
  bx: number,
  by: number,
  better: Better,
  note: ((ray: number, share: number) => void) | null = null,
): void {
  const { angles, radii } = row;
  const pax = ax - c.x;
  const pay = ay - c.y;
  const pbx = bx - c.x;
  const pby = by - c.y;
  const first = angles[0];
  let from = Math.atan2(pay, pax);
  let width = Math.atan2(pax * pby - pay * pbx, pax * pbx + pay * pby);
  if (width < 0) {
    from += width;
    width = -width;
  }
  from -= RAY_SLACK;
  width += 2 * RAY_SLACK;
  from += TURN * Math.ceil((first - from - width) / TURN);
  for (const start of [from, from + TURN]) {
    let i = start <= first ? 0 : lastNotAbove(angles, start);
    if (angles[i] < start) i++;
    for (; i < angles.length && angles[i] <= start + width; i++) {
      const dx = Math.cos(angles[i]);
      const dy = Math.sin(angles[i]);
      const ex = pbx - pax;
      const ey = pby - pay;
      const across = dx * ey - dy * ex;
      const radius =
        Math.abs(across) < 1e-12
          ? Math.max(dx * pax + dy * pay, dx * pbx + dy * pby)
          : (pax * ey - pay * ex) / across;
      const far = Math.max(Math.hypot(pax, pay), Math.hypot(pbx, pby));
      if (radius > far + 1e-6 || !better(radius, radii[i])) continue;
      radii[i] = radius;
      if (note) {
        const along = (dx * radius - pax) * ex + (dy * radius - pay) * ey;
        note(i, Math.min(1, Math.max(0, along / (ex * ex + ey * ey || 1))));
      }
    }
  }
}
