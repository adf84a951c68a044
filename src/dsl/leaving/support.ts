/** One demand on the direction m: c·m ≥ t for clay, c·m ≥ 0 for a slide, c·m ≥ least for a flank. */
export interface Demand {
  kind: "clay" | "slide" | "flank";
  /** Number of the normal in the list it came from. */
  index: number;
  x: number;
  y: number;
  z: number;
  /** Sine of the draft that a flank must have; 0 for the others. */
  least: number;
}

/** Demands that hold the pull where it is, with their multipliers. */
export interface Support {
  demands: Demand[];
  /** All ≥ 0; those of the clay add up to 1. */
  weights: number[];
  /** Σ weight · normal. */
  x: number;
  y: number;
  z: number;
  /** |Σ weight · normal| − Σ weight · least: no direction does better than this. */
  bound: number;
}

/** A column that leans less than this out of the others says nothing new. */
const FLAT = 1e-13;

/**
 * The least bound that exactly these demands give when they all take part, or null when one would
 * have to take part negatively, when they are not independent, or when none is clay. Least norm
 * point of the flat through the clay normals along the slides; flanks tilt it by their margin.
 */
function boundOf(demands: readonly Demand[]): Support | null {
  const base = demands.find((demand) => demand.kind === "clay");
  if (base === undefined) return null;
  const others = demands.filter((demand) => demand !== base);
  const k = others.length;
  const q: number[][] = [];
  const r: number[][] = [];
  // n₀ less its part in the span of the columns.
  let [hx, hy, hz] = [base.x, base.y, base.z];
  const c: number[] = [];
  for (let j = 0; j < k; j++) {
    const other = others[j];
    const clay = other.kind === "clay";
    let vx = clay ? other.x - base.x : other.x;
    let vy = clay ? other.y - base.y : other.y;
    let vz = clay ? other.z - base.z : other.z;
    r[j] = [];
    // Twice, because one pass leaves rounding of nearly parallel columns behind.
    for (let pass = 0; pass < 2; pass++) {
      for (let i = 0; i < j; i++) {
        const part = q[i][0] * vx + q[i][1] * vy + q[i][2] * vz;
        vx -= part * q[i][0];
        vy -= part * q[i][1];
        vz -= part * q[i][2];
        r[j][i] = (r[j][i] ?? 0) + part;
      }
    }
    const length = Math.sqrt(vx * vx + vy * vy + vz * vz);
    if (length < FLAT) return null;
    r[j][j] = length;
    q[j] = [vx / length, vy / length, vz / length];
    c[j] = q[j][0] * base.x + q[j][1] * base.y + q[j][2] * base.z;
    const rest = q[j][0] * hx + q[j][1] * hy + q[j][2] * hz;
    hx -= rest * q[j][0];
    hy -= rest * q[j][1];
    hz -= rest * q[j][2];
  }
  const tilt: number[] = [];
  let tilted = 0;
  for (let j = 0; j < k; j++) {
    let value = others[j].least;
    for (let i = 0; i < j; i++) value -= r[j][i] * tilt[i];
    tilt[j] = value / r[j][j];
    tilted += tilt[j] * tilt[j];
  }
  if (tilted >= 1) return null;
  const reach = Math.sqrt(hx * hx + hy * hy + hz * hz) / Math.sqrt(1 - tilted);
  const weights = new Array<number>(k);
  for (let j = k - 1; j >= 0; j--) {
    let value = reach * tilt[j] - c[j];
    for (let i = j + 1; i < k; i++) value -= r[i][j] * weights[i];
    weights[j] = value / r[j][j];
  }
  return weigh([base, ...others], weights);
}

function weigh(demands: Demand[], otherWeights: number[]): Support | null {
  let clay = 1;
  for (let j = 0; j < otherWeights.length; j++) {
    if (otherWeights[j] < -1e-12) return null;
    if (demands[j + 1].kind === "clay") clay -= otherWeights[j];
  }
  if (clay < -1e-12) return null;
  const weights = [Math.max(0, clay), ...otherWeights.map((weight) => Math.max(0, weight))];
  const sum = weights.reduce((total, weight, j) => (demands[j].kind === "clay" ? total + weight : total), 0);
  let [x, y, z, margin] = [0, 0, 0, 0];
  for (let j = 0; j < demands.length; j++) {
    if (demands[j].kind === "clay") weights[j] /= sum;
    x += weights[j] * demands[j].x;
    y += weights[j] * demands[j].y;
    z += weights[j] * demands[j].z;
    margin += weights[j] * demands[j].least;
  }
  return { demands, weights, x, y, z, bound: Math.sqrt(x * x + y * y + z * z) - margin };
}

/** Demands that hold a direction in space: three, or four when they hold every direction. */
const MOST = 4;

/**
 * The least bound over all choices of up to four demands that include `newest`, or null when none
 * is valid. Every valid choice is a point of the hull, so the least of them is right however close
 * together the normals lie.
 */
export function leastBound(others: readonly Demand[], newest: Demand): Support | null {
  let best: Support | null = null;
  const chosen: Demand[] = [newest];
  const visit = (from: number) => {
    const support = boundOf(chosen);
    if (support !== null && (best === null || support.bound < best.bound)) best = support;
    if (chosen.length === MOST) return;
    for (let i = from; i < others.length; i++) {
      chosen.push(others[i]);
      visit(i + 1);
      chosen.pop();
    }
  };
  visit(0);
  return best;
}
