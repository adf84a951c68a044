import type { Form } from "../form/form.ts";
import { snap } from "../solid/weld.ts";
import type { Grid } from "./grid.ts";

/** Where a seam is meant to stand, before there is a grid. */
export interface SeamPlan {
  follow: "form" | "flat";
  /** Position along the outline of the lowest section. */
  u: number;
  /** Polar angle at the lowest section about its centre, radians. */
  angle: number;
}

/** A seam curve on the rows of a grid. */
export interface SeamLine extends SeamPlan {
  /** u on each row, without jumps from row to row. */
  us: Float64Array;
  /** Snapped points of the cavity edge. */
  x: Float64Array;
  y: Float64Array;
  /** Unit direction of the level ruling, from the centre of the row to the point. */
  dirX: Float64Array;
  dirY: Float64Array;
}

const TURN = 2 * Math.PI;

/** Polar angle of the form at (u, z) about the centre of that level, radians in (−π, π]. */
export function polarAngle(form: Form, u: number, z: number): number {
  const p = form.column(u).at(z);
  const c = form.centre(z);
  return Math.atan2(p.y - c.y, p.x - c.x);
}

const between = (angle: number) => angle - TURN * Math.round(angle / TURN);

/** The u at which the section at `z` has this polar angle; the section is star-shaped about its centre. */
export function uAtAngle(form: Form, angle: number, z: number, guess?: { from: number; to: number }): number {
  let low = guess?.from ?? 0;
  let high = guess?.to ?? 1;
  if (!guess) {
    const steps = 64;
    for (let i = 0; i < steps; i++) {
      const a = between(angle - polarAngle(form, i / steps, z));
      const b = between(angle - polarAngle(form, (i + 1) / steps, z));
      if (a >= 0 && b < 0 && a - b < Math.PI) {
        low = i / steps;
        high = (i + 1) / steps;
        break;
      }
    }
  }
  let atLow = between(angle - polarAngle(form, low, z));
  let atHigh = between(angle - polarAngle(form, high, z));
  for (let round = 0; round < 50 && high - low > 1e-13; round++) {
    // False position with a halving now and then: sure and quick.
    const share = round % 3 === 2 || atLow === atHigh ? 0.5 : atLow / (atLow - atHigh);
    const middle = low + (high - low) * Math.min(0.99, Math.max(0.01, share));
    const gap = between(angle - polarAngle(form, middle, z));
    if (Math.abs(gap) < 1e-12) return middle;
    if (gap >= 0) {
      low = middle;
      atLow = gap;
    } else {
      high = middle;
      atHigh = gap;
    }
  }
  return (low + high) / 2;
}

/** The seam curves on the rows of a grid that was made with their columns in it. */
export function drawSeams(grid: Grid, plans: readonly SeamPlan[]): SeamLine[] {
  return plans.map((plan) => {
    const rows = grid.zs.length;
    const line: SeamLine = {
      ...plan,
      us: new Float64Array(rows),
      x: new Float64Array(rows),
      y: new Float64Array(rows),
      dirX: new Float64Array(rows),
      dirY: new Float64Array(rows),
    };
    const own = plan.follow === "form" ? nearestColumn(grid, plan.u) : -1;
    for (let j = 0; j < rows; j++) {
      if (own >= 0) {
        line.us[j] = grid.columns[own].u;
        line.x[j] = grid.x[j][own];
        line.y[j] = grid.y[j][own];
      } else {
        placeFlat(grid, line, j);
      }
      const dx = line.x[j] - grid.centres[j].x;
      const dy = line.y[j] - grid.centres[j].y;
      const length = Math.hypot(dx, dy);
      line.dirX[j] = dx / length;
      line.dirY[j] = dy / length;
    }
    return line;
  });
}

/** Column whose u is nearest around the circle. */
function nearestColumn(grid: Grid, u: number): number {
  let best = 0;
  let least = Infinity;
  grid.columns.forEach((column, i) => {
    const away = Math.abs(u - column.u - Math.round(u - column.u));
    if (away < least) {
      least = away;
      best = i;
    }
  });
  return best;
}

/** How near a flat seam may come to a column before it takes the column's own point, in u. */
const ON_COLUMN = 1e-6;

function placeFlat(grid: Grid, line: SeamLine, j: number): void {
  const count = grid.columns.length;
  const c = grid.centres[j];
  const away = (i: number) => between(line.angle - Math.atan2(grid.y[j][i] - c.y, grid.x[j][i] - c.x));
  let i = 0;
  let before = away(0);
  for (; i < count; i++) {
    const after = away((i + 1) % count);
    if (before >= 0 && after < 0 && before - after < Math.PI) break;
    before = after;
  }
  const from = grid.columns[i % count].u;
  const to = i + 1 < count ? grid.columns[i + 1].u : 1 + grid.columns[0].u;
  const z = grid.zs[j];
  let u = uAtAngle(grid.form, line.angle, z, { from: from - 1e-9, to: to + 1e-9 });
  if (u - from < ON_COLUMN || to - u < ON_COLUMN) {
    const column = u - from < ON_COLUMN ? i % count : (i + 1) % count;
    u = u - from < ON_COLUMN ? from : to;
    line.x[j] = grid.x[j][column];
    line.y[j] = grid.y[j][column];
  } else {
    const p = grid.form.column(u).at(z);
    line.x[j] = snap(p.x);
    line.y[j] = snap(p.y);
  }
  line.us[j] = j > 0 ? u + Math.round(line.us[j - 1] - u) : u;
}
