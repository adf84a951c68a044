import type { Column, Form } from "../form/form.ts";
import { normalOf } from "../form/form.ts";
import { snap } from "../solid/weld.ts";
import { LEAST_GAP, LEAST_STEP } from "../tolerances.ts";

/** The cavity's side surface sampled on one tensor grid, u list × z list, that all parts share. */
export interface Grid {
  form: Form;
  /** Rising in [0, 1). */
  columns: GridColumn[];
  /** Rising, mm, 0 to the height. */
  zs: number[];
  /** Centre of each row, mm. */
  centres: { x: number; y: number }[];
  /** Snapped points, [row][column]. */
  x: Float64Array[];
  y: Float64Array[];
}

export interface GridColumn {
  u: number;
  column: Column;
  /** The column read from the side before, where the outline has a corner here. */
  before: Column | null;
}

export interface GridDemands {
  /** In-surface error, mm. */
  tolerance: number;
  /** Columns that must be there. */
  us: readonly number[];
  /** Rows that must be there, mm. */
  zs: readonly number[];
  /** Neighbouring normals turn by no more than this, radians. */
  turn: number;
}

/** Beyond this the design asks for more than a bench needs; the error is then larger than asked. */
const MOST_COLUMNS = 1500;
const MOST_ROWS = 1200;

/**
 * Samples the form so that every mark, section and demanded line is in the grid and the surface is
 * nowhere further than half the tolerance from it: along u, along z and on the diagonal.
 */
export function makeGrid(form: Form, demands: GridDemands): Grid {
  const cache = new Map<number, Column>();
  const columnAt = (u: number) => {
    let column = cache.get(u);
    if (!column) cache.set(u, (column = form.column(u)));
    return column;
  };
  let us = mergeSteps(
    [...form.marks.map((mark) => mark.u), ...demands.us],
    1e-6,
    form.marks.map((m) => m.u),
  );
  us = us.flatMap((u, i) => {
    const next = us[i + 1] ?? 1;
    const pieces = Math.ceil((next - u) / form.longestStep - 1e-6);
    return Array.from({ length: Math.max(1, pieces) }, (_, k) => u + ((next - u) * k) / Math.max(1, pieces));
  });
  let zs = mergeSteps([...form.zs, ...demands.zs], LEAST_STEP, form.zs).filter(
    (z) => z >= 0 && z <= form.height,
  );
  const half = demands.tolerance / 2;

  const probes = probeHeights(form, zs);
  for (let i = 0; i < us.length && us.length < MOST_COLUMNS;) {
    const next = us[i + 1] ?? 1;
    if (next - us[i] > 1e-5 && columnError(form, columnAt, us[i], next, probes, half, demands.turn)) {
      us.splice(i + 1, 0, (us[i] + next) / 2);
    } else i++;
  }
  for (let round = 0; round < 12; round++) {
    const split = splitRows(us.map(columnAt), zs, half, demands.turn, form.side === "straight");
    if (split.length === zs.length || zs.length > MOST_ROWS) break;
    zs = split;
  }
  for (let round = 0; round < 8; round++) {
    const { columns, rows } = diagonalError(us.map(columnAt), us, zs, half);
    if (columns.length === 0 && rows.length === 0) break;
    us = [...us, ...columns].sort((a, b) => a - b);
    zs = [...zs, ...rows].sort((a, b) => a - b);
    if (us.length > MOST_COLUMNS || zs.length > MOST_ROWS) break;
  }

  const corners = new Set(form.marks.map((mark) => mark.u));
  const columns = us.map((u) => {
    const column = columnAt(u);
    return { u, column, before: corners.has(u) ? cornerBefore(form, u, column, zs) : null };
  });
  const x = zs.map(() => new Float64Array(us.length));
  const y = zs.map(() => new Float64Array(us.length));
  zs = zs.map(snap);
  zs.forEach((z, j) => {
    columns.forEach(({ column }, i) => {
      const point = column.at(z);
      x[j][i] = snap(point.x);
      y[j][i] = snap(point.y);
    });
    joinNear(x[j], y[j]);
  });
  return { form, columns, zs, centres: zs.map((z) => form.centre(z)), x, y };
}

/** Gives points of a row that all but fall together, as in the fillet of a sharp corner, one place. */
function joinNear(x: Float64Array, y: Float64Array): void {
  const near = (i: number, k: number) => Math.hypot(x[i] - x[k], y[i] - y[k]) < LEAST_GAP;
  let kept = 0;
  for (let i = 1; i < x.length; i++) {
    if (near(i, kept)) {
      x[i] = x[kept];
      y[i] = y[kept];
    } else kept = i;
  }
  for (let i = x.length - 1; i > 0 && near(i, 0); i--) {
    x[i] = x[0];
    y[i] = y[0];
  }
}

/** Sorted, without steps shorter than `least`; of two too close to each other a `kept` one stays. */
function mergeSteps(values: number[], least: number, kept: readonly number[]): number[] {
  const fixed = new Set(kept);
  const sorted = [...values].sort((a, b) => a - b);
  const result: number[] = [];
  for (const value of sorted) {
    const last = result.at(-1);
    if (last === undefined || value - last >= least) result.push(value);
    else if (fixed.has(value) && !fixed.has(last)) result[result.length - 1] = value;
  }
  return result;
}

function probeHeights(form: Form, zs: readonly number[]): number[] {
  if (form.side === "straight") return [...form.zs];
  const probes = form.zs.flatMap((z, k) => {
    const next = form.zs[k + 1];
    return next === undefined ? [z] : [z, z + (next - z) / 3, z + (2 * (next - z)) / 3];
  });
  return probes.length > 60 ? [...zs] : probes;
}

type Point = { x: number; y: number };

function distanceToChord(p: Point, a: Point, b: Point): number {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length = Math.hypot(dx, dy);
  return length === 0
    ? Math.hypot(p.x - a.x, p.y - a.y)
    : Math.abs((p.x - a.x) * dy - (p.y - a.y) * dx) / length;
}

function columnError(
  form: Form,
  columnAt: (u: number) => Column,
  from: number,
  to: number,
  probes: readonly number[],
  half: number,
  turn: number,
): boolean {
  const a = columnAt(from);
  const b = to >= 1 ? columnAt(0) : columnAt(to);
  const end = form.column(to >= 1 ? 0 : to, -1);
  const middle = columnAt((from + to) / 2);
  return probes.some((z) => {
    const pa = a.at(z);
    const pb = b.at(z);
    if (distanceToChord(middle.at(z), pa, pb) > half) return true;
    const before = end.at(z);
    const bend = Math.atan2(pa.ux * before.uy - pa.uy * before.ux, pa.ux * before.ux + pa.uy * before.uy);
    return bend > turn && Math.hypot(pb.x - pa.x, pb.y - pa.y) > LEAST_STEP * 4;
  });
}

function splitRows(columns: Column[], zs: number[], half: number, turn: number, straight: boolean): number[] {
  const step = Math.max(1, Math.floor(columns.length / 200));
  return zs.flatMap((z, j) => {
    const next = zs[j + 1];
    if (next === undefined || next - z < 4 * LEAST_STEP) return [z];
    const middle = (z + next) / 2;
    for (let i = 0; i < columns.length; i += step) {
      const a = columns[i].at(z);
      const b = columns[i].at(next, true);
      const m = columns[i].at(middle);
      const off = Math.hypot(m.x - (a.x + b.x) / 2, m.y - (a.y + b.y) / 2);
      if (off > half) return [z, middle];
      if (!straight) {
        const cos = (1 + a.zx * b.zx + a.zy * b.zy) / Math.hypot(1, a.zx, a.zy) / Math.hypot(1, b.zx, b.zy);
        if (Math.acos(Math.min(1, cos)) > turn && next - z > 0.3) return [z, middle];
      }
    }
    return [z];
  });
}

/** Cells whose diagonal leaves the surface ask for a split of their longer side. */
function diagonalError(
  columns: Column[],
  us: number[],
  zs: number[],
  half: number,
): { columns: number[]; rows: number[] } {
  const newColumns = new Set<number>();
  const newRows = new Set<number>();
  let low = columns.map((column) => column.at(zs[0]));
  for (let j = 0; j + 1 < zs.length; j++) {
    const high = columns.map((column) => column.at(zs[j + 1], true));
    const rise = zs[j + 1] - zs[j];
    for (let i = 0; i < us.length; i++) {
      const k = (i + 1) % us.length;
      // How far the middles of the two diagonals are apart, seen square to the surface.
      const [nx, ny, nz] = normalOf(low[i]);
      const gapX = (low[i].x + high[k].x - low[k].x - high[i].x) / 2;
      const gapY = (low[i].y + high[k].y - low[k].y - high[i].y) / 2;
      if (Math.abs(gapX * nx + gapY * ny + 0 * nz) / 2 <= half) continue;
      const width = Math.hypot(low[k].x - low[i].x, low[k].y - low[i].y);
      if (width > 1.5 * rise) newColumns.add((us[i] + (us[i + 1] ?? 1)) / 2);
      else if (rise > 4 * LEAST_STEP) newRows.add((zs[j] + zs[j + 1]) / 2);
    }
    low = columns.map((column) => column.at(zs[j + 1]));
  }
  return { columns: [...newColumns], rows: [...newRows] };
}

/** The column read from before, where the tangents of the two sides differ anywhere. */
function cornerBefore(form: Form, u: number, after: Column, zs: readonly number[]): Column | null {
  const before = form.column(u, -1);
  const differs = zs.some((z) => {
    const a = before.at(z);
    const b = after.at(z);
    const cross = a.ux * b.uy - a.uy * b.ux;
    return Math.abs(cross) > 1e-3 * Math.hypot(a.ux, a.uy) * Math.hypot(b.ux, b.uy);
  });
  return differs ? before : null;
}
