import type { CallId } from "../../../shared/place.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { MeshBuilder } from "../solid/builder.ts";
import { withScope } from "../solid/kernel.ts";
import { joinChains } from "../solid/strip.ts";
import type { Tagged } from "../solid/tagged.ts";
import { snap } from "../solid/weld.ts";
import { CHAMFER } from "./layout.ts";
import type { HumpSurface } from "./hump-surface.ts";
import type { Vec3 } from "./model.ts";

/** Thickness of the shelf under the hump, mm (practice). */
export const HUMP_SHELF = 4;
/** Upwards: a hump leaves the pot through its mouth. */
export const OUT: Vec3 = [0, 0, 1];

/** The pot's outside at its mouth, `reach` mm wider, counter-clockwise: the edge of the shelf. */
export function plateOutline({ grid }: HumpSurface, reach: number): [number, number][] {
  const rim = rimLoop(grid);
  // The clay's own edge ends inside the shelf, however narrow that is.
  const grown = withScope((scope) => scope.grown(rim, Math.max(reach, LEAST_SHELF)));
  return grown
    .reduce((a, b) => (areaOf(b) > areaOf(a) ? b : a))
    .map(([x, y]): [number, number] => [snap(x), snap(y)]);
}

/** The shelf stands out beyond the clay by at least this, mm. */
const LEAST_SHELF = 1;

function rimLoop({ x, y, zs }: HumpSurface["grid"]): [number, number][] {
  const last = zs.length - 1;
  const points = Array.from(x[last], (value, i): [number, number] => [value, y[last][i]]);
  return points.filter(([px, py], i) => {
    const [nx, ny] = points[(i + 1) % points.length];
    return px !== nx || py !== ny;
  });
}

function areaOf(loop: readonly (readonly [number, number])[]): number {
  return loop.reduce((sum, [x, y], i) => {
    const [nx, ny] = loop[(i + 1) % loop.length];
    return sum + (x * ny - nx * y) / 2;
  }, 0);
}

/**
 * The hump and its shelf as one solid. All that touches clay is its cavity: the side, the flat under
 * the pot's base, and of the shelf as much as the edge of the clay stands on.
 */
export function buildCore(surface: HumpSurface, plate: readonly [number, number][], spec: MoldSpec): Tagged {
  const { grid, rings } = surface;
  const builder = new MeshBuilder(rings.length * 200);
  const chains = rings.map(({ z, us, points }) => {
    const vertices = points.map(({ x, y }) => builder.vertex(x, y, z));
    return { keys: [...us, us[0] + 1], vertices: [...vertices, vertices[0]] };
  });
  const loop = (chain: { vertices: number[] }) => chain.vertices.slice(0, -1);
  builder.face("cavity", spec.body.call);
  for (let r = 0; r + 1 < chains.length; r++) {
    const [low, high] = [chains[r], chains[r + 1]];
    const vertex = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
    joinChains(low.keys, high.keys, (a, b, c) => builder.triangle(vertex(a), vertex(b), vertex(c)));
  }
  builder.cap([loop(chains[0])], false);
  const mouth = grid.zs[grid.zs.length - 1];
  const edge = rimLoop(grid).map(([x, y]) => builder.vertex(x, y, mouth));
  builder.cap([edge, loop(chains[chains.length - 1]).reverse()], false);

  const bed = snap(mouth + HUMP_SHELF);
  const inset = withScope((scope) => scope.grown(plate, -CHAMFER)).reduce((a, b) =>
    areaOf(b) > areaOf(a) ? b : a,
  );
  const at = (points: readonly (readonly [number, number])[], z: number) =>
    points.map(([x, y]) => builder.vertex(x, y, z));
  const shelf = at(plate, mouth);
  const below = at(plate, snap(bed - CHAMFER));
  const onBed = at(inset, bed);
  builder.face("rim", spec.call);
  builder.cap([shelf, [...edge].reverse()], false);
  builder.face("outside", spec.call);
  for (let i = 0; i < plate.length; i++) {
    const k = (i + 1) % plate.length;
    builder.quad(shelf[i], shelf[k], below[k], below[i]);
  }
  builder.face("chamfer", spec.call);
  const keysOf = (points: readonly (readonly [number, number])[]) => along(points, plate[0]);
  const [low, high] = [keysOf(plate), keysOf(inset)];
  const lowVertices = [...low.order.map((i) => below[i]), below[low.order[0]]];
  const highVertices = [...high.order.map((i) => onBed[i]), onBed[high.order[0]]];
  const vertex = (index: number) => (index < 0 ? highVertices[~index] : lowVertices[index]);
  joinChains(low.keys, high.keys, (a, b, c) => builder.triangle(vertex(a), vertex(b), vertex(c)));
  builder.face("foot", spec.call);
  builder.cap([onBed], true);
  return builder.finish();
}

/** Points of a loop from the one nearest to `start`, with their share of the way around. */
function along(
  points: readonly (readonly [number, number])[],
  start: readonly [number, number],
): { order: number[]; keys: number[] } {
  const away = points.map(([x, y]) => Math.hypot(x - start[0], y - start[1]));
  const first = away.indexOf(Math.min(...away));
  const order = points.map((_, i) => (first + i) % points.length);
  const steps = order.map((i, k) => {
    const next = points[order[(k + 1) % order.length]];
    return Math.hypot(next[0] - points[i][0], next[1] - points[i][1]);
  });
  const total = steps.reduce((sum, step) => sum + step, 0);
  let gone = 0;
  const keys = steps.map((step) => {
    const key = gone / total;
    gone += step;
    return key;
  });
  return { order, keys: [...keys, 1] };
}

/** The clay on the hump as one closed solid: what the hump touches seen from the other side, and the pot's outside. */
export function buildDrape({ grid }: HumpSurface, core: Tagged, body: CallId): Tagged {
  const { zs, columns } = grid;
  const builder = new MeshBuilder(columns.length * zs.length * 2);
  builder.face("cavity", body);
  const { positions: p, triangles: t } = core.mesh;
  const own = (i: number) => builder.vertex(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  for (const run of core.runs) {
    if (run.face !== "cavity") continue;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3)
      builder.triangle(own(t[i]), own(t[i + 2]), own(t[i + 1]));
  }
  const rows = zs.map((z, j) => columns.map((_, i) => builder.vertex(grid.x[j][i], grid.y[j][i], z)));
  builder.face("outside", body);
  for (let j = 0; j + 1 < rows.length; j++) {
    for (let i = 0; i < columns.length; i++) {
      const k = (i + 1) % columns.length;
      builder.triangle(rows[j][i], rows[j][k], rows[j + 1][k]);
      builder.triangle(rows[j][i], rows[j + 1][k], rows[j + 1][i]);
    }
  }
  builder.face("foot", body);
  builder.cap([rows[0]], false);
  return builder.finish();
}
