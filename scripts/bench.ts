/**
 * Times solids and checks against the kernel's own work in the same process: K(n) is how long the
 * kernel takes to subtract a vessel from its thickened shell, n being the triangles of both. A
 * ratio carries over from machine to machine where a time does not. Each row ends with a checksum
 * of what was computed, so that a faster run that computes something else is seen.
 *
 * solids: all wall parts and the clay, with shell, seam faces, flanges, rim, bands and keys.
 * checks: pulls, undercuts, opening order and all findings.
 * planner: where the seams are best, looked for anew; with the checks of that mold at most 2 K(n).
 *
 *     npm run bench [-- NAME]     only rows whose name has it in it
 */
import { createHash } from "node:crypto";
import bunny from "bunny";
import type { Quality } from "../shared/engine.ts";
import { checkMold } from "../src/dsl/checks/index.ts";
import { Form } from "../src/dsl/form/form.ts";
import { key, loft, mold, profile, shrink, solid, split, sweep, trim } from "../src/dsl/index.ts";
import { bestPull } from "../src/dsl/leaving/pull.ts";
import type { Body } from "../src/dsl/kit/body.ts";
import type { Mold } from "../src/dsl/kit/mold.ts";
import { kidney } from "../tests/unit/mold/free-bodies.ts";
import { buildMold, type BuiltMold } from "../src/dsl/mold/build.ts";
import { makeGrid } from "../src/dsl/mold/grid.ts";
import { clayScale } from "../src/dsl/mold/scale.ts";
import { SeamSearch, type BestSeams } from "../src/dsl/mold/seam-search.ts";
import { dilate } from "../src/dsl/mold/shell.ts";
import { MeshBuilder } from "../src/dsl/solid/builder.ts";
import { loadKernel, withScope } from "../src/dsl/solid/kernel.ts";
import { triangleCount } from "../src/dsl/solid/mesh.ts";
import type { Tagged } from "../src/dsl/solid/tagged.ts";

const WARM = 2;
const RUNS = 9;

/** Median of what `measure` gives, ms, after some runs that do not count. */
function median(measure: () => number): number {
  const times: number[] = [];
  for (let run = 0; run < WARM + RUNS; run++) {
    const time = measure();
    if (run >= WARM) times.push(time);
  }
  return times.sort((a, b) => a - b)[RUNS >> 1];
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

/** A body and its thickened shell as closed solids on one grid of about `count` triangles together. */
function vesselAndShell(body: Body, count: number): { vessel: Tagged; shell: Tagged } {
  const form = new Form(body, clayScale(body).cavity);
  const rows = Math.max(4, Math.round(Math.sqrt(count / 4 / 6)));
  const columns = Math.round(count / 4 / rows);
  const grid = makeGrid(form, {
    tolerance: 1e9,
    us: Array.from({ length: columns }, (_, i) => i / columns),
    zs: Array.from({ length: rows + 1 }, (_, j) => (form.height * j) / rows),
    turn: 10,
  });
  const outside = dilate(grid, 3);
  const closed = (point: (j: number, i: number) => [number, number], low: number, high: number): Tagged => {
    const builder = new MeshBuilder(count);
    builder.face("outside", -1);
    const last = grid.zs.length - 1;
    const rings = grid.zs.map((z, j) =>
      grid.columns.map((_, i) => {
        const [x, y] = point(j, i);
        return builder.vertex(x, y, j === 0 ? z - low : j === last ? z + high : z);
      }),
    );
    for (let j = 0; j < last; j++) {
      for (let i = 0; i < grid.columns.length; i++) {
        const k = (i + 1) % grid.columns.length;
        builder.quad(rings[j][i], rings[j][k], rings[j + 1][k], rings[j + 1][i]);
      }
    }
    builder.cap([rings[0]], false);
    builder.cap([rings[last]], true);
    return builder.finish();
  };
  const vessel = closed((j, i) => [grid.x[j][i], grid.y[j][i]], 0, 1);
  const shell = closed(
    (j, i) => {
      const c = grid.centres[j];
      const reach = Math.hypot(grid.x[j][i] - c.x, grid.y[j][i] - c.y);
      const row = outside.rows[j];
      const angle = Math.atan2(grid.y[j][i] - c.y, grid.x[j][i] - c.x);
      const ray = row.angles.findIndex((own) => Math.abs(Math.sin((own - angle) / 2)) < 1e-6);
      const radius = ray < 0 ? reach + 3 : row.radii[ray];
      return [c.x + radius * Math.cos(angle), c.y + radius * Math.sin(angle)];
    },
    3,
    0,
  );
  return { vessel, shell };
}

function kernelTime(body: Body, count: number): { ms: number; triangles: number } {
  const { vessel, shell } = vesselAndShell(body, count);
  const ms = withScope((scope) => {
    const a = scope.solid(shell);
    const b = scope.solid(vessel);
    // The kernel works on demand: asking for the volume makes it.
    return median(() => timed(() => withScope((inner) => inner.subtract(a, b).volume)));
  });
  return { ms, triangles: triangleCount(vessel.mesh) + triangleCount(shell.mesh) };
}

function checksum(built: BuiltMold): string {
  const hash = createHash("sha256");
  for (const part of built.model.parts) hash.update(part.mesh.positions).update(part.mesh.triangles);
  return hash.digest("hex").slice(0, 12);
}

const triangles = (built: BuiltMold) =>
  built.model.parts.reduce((sum, part) => sum + (part.role === "wall" ? triangleCount(part.mesh) : 0), 0);

const octagon = shrink(
  loft(
    [
      profile.polygon({ sides: 8, acrossFlats: 62, corner: 4 }).at(0),
      profile.polygon({ sides: 8, acrossFlats: 80, corner: 8 }).at(104),
    ],
    { side: "straight" },
  ),
  0.125,
);
const wave = profile.wave({ diameter: 80, waves: 12, amplitude: 1.6 });
const waved = shrink(
  loft([
    wave.at(0),
    wave.scale(1.2).turn(10).at(60),
    wave.scale(0.7).turn(20).at(150),
    wave.scale(0.8).turn(20).at(185),
  ]),
  0.12,
);

const dish = shrink(
  loft([
    profile.rounded({ width: 92, depth: 64, corner: 26 }).at(0),
    profile.rounded({ width: 118, depth: 90, corner: 34 }).at(11),
    profile.rounded({ width: 132, depth: 104, corner: 38 }).at(30),
  ]),
  0.125,
);
const handle = shrink(
  sweep(profile.ellipse({ width: 17, depth: 11 }), [
    [0, 0, 84],
    [22, 0, 87],
    [34, 0, 68],
    [27, 0, 44],
    [0, 0, 31],
  ]),
  0.125,
);

/** Its hollow is deeper than its middle, so that no ray from there sees its side whole. */
const bean = shrink(kidney(), 0.12);

const sheet = profile.rounded({ width: 300, depth: 300, corner: 5 });
/** The bunny of npm `bunny`, upright, one of its units to 10 mm, cut level at its feet. */
const feet = Math.min(...bunny.positions.map(([, y]) => y));
const figure = shrink(
  trim(
    solid(
      {
        polygons: bunny.cells.map((cell) => ({
          vertices: cell.map((v) => {
            const [x, y, z] = bunny.positions[v];
            return [10 * x, -10 * z, 10 * (y - feet)];
          }),
        })),
      },
      { open: "bottom" },
    ),
    loft([sheet.at(0), sheet.at(4)]),
  ),
  0.1,
);

const only = process.argv[2] ?? "";
const rows: { name: string; body: Body; mold: Mold; quality: Quality }[] = [
  {
    name: "octagon beaker, 4 parts",
    body: octagon,
    mold: mold(octagon, { seams: split({ parts: 4, at: "corners" }), keys: key({ shape: "cone" }) }),
    quality: "typing",
  },
  {
    name: "octagon beaker, 4 parts",
    body: octagon,
    mold: mold(octagon, { seams: split({ parts: 4, at: "corners" }), keys: key({ shape: "cone" }) }),
    quality: "export",
  },
  ...(["typing", "idle", "export"] as const).map((quality) => ({
    name: "waved carafe, 3 parts, twist 20°",
    body: waved,
    mold: mold(waved, { seams: split({ parts: 3, at: 0 }) }),
    quality,
  })),
  {
    name: "dish in one piece",
    body: dish,
    mold: mold(dish, { seams: split.whole() }),
    quality: "export",
  },
  {
    // There is no loft to compare it with: K(n) is that of the waved one with as many triangles.
    name: "swept handle in halves",
    body: waved,
    mold: mold(handle, { slab: "solid", seams: split.halves({ plane: "xz" }) }),
    quality: "export",
  },
  {
    name: "bunny, solid(…) trimmed, in halves",
    body: waved,
    mold: mold(figure, { slab: "solid", seams: split.halves({ plane: "yz" }) }),
    quality: "export",
  },
  // Contoured from a field of distances; K(n) again that of the waved one with as many triangles.
  ...(["typing", "export"] as const).map((quality) => ({
    name: "kidney dish, 2 flat seams",
    body: waved,
    mold: mold(bean, { seams: split({ parts: 2, at: 0, follow: "flat" }) }),
    quality,
  })),
];

await loadKernel();
const kernel40 = kernelTime(waved, 40_000);
console.log(
  `K(${kernel40.triangles}) = ${kernel40.ms.toFixed(1)} ms: kernel alone, vessel from thickened shell`,
);
console.log(
  [
    "design",
    "quality",
    "triangles",
    "solids ms",
    "checks ms",
    "K(n) ms",
    "solids/K",
    "checks/K",
    "checksum",
  ].join("  "),
);
for (const { name, body, mold: one, quality } of rows) {
  if (!name.includes(only)) continue;
  let made = buildMold(one, "bench", quality);
  const solids = median(() => {
    made = buildMold(one, "bench", quality);
    return made.times.shape + made.times.keys;
  });
  const checks = median(() => {
    made = buildMold(one, "bench", quality);
    return made.times.opening + timed(() => void checkMold(made));
  });
  const n = triangles(made);
  const k = kernelTime(body, n).ms;
  console.log(
    [
      name.padEnd(34),
      quality.padEnd(7),
      String(n).padStart(7),
      solids.toFixed(1).padStart(8),
      checks.toFixed(1).padStart(8),
      k.toFixed(1).padStart(7),
      (solids / k).toFixed(2).padStart(6),
      (checks / k).toFixed(2).padStart(6),
      checksum(made),
    ].join("  "),
  );
}

/** What a mold's seams and pulls come to. */
function plannedSum(found: BestSeams, { model }: BuiltMold): string {
  const hash = createHash("sha256");
  const numbers = [found.undercutMm2, found.draftDeg, ...found.plans.flatMap(({ u, angle }) => [u, angle])];
  for (const { direction } of model.moves) numbers.push(...direction);
  hash.update(Float64Array.from(numbers));
  return hash.digest("hex").slice(0, 12);
}

console.log(
  ["at: best", "quality", "triangles", "planner ms", "checks ms", "K(n) ms", "sum/K", "checksum"].join("  "),
);
for (const [name, body, parts, follow] of [
  ["octagon beaker, 4 parts", octagon, 4, "form"],
  ["waved carafe, 3 parts, twist 20°", waved, 3, "form"],
  ["waved carafe, 2 parts, flat seams", waved, 2, "flat"],
] as const) {
  if (!name.includes(only)) continue;
  const one = mold(body, { seams: split({ parts, follow }) });
  const form = new Form(body, clayScale(body).cavity);
  const reach = one.spec.wall + one.spec.flange.width;
  const search = () => new SeamSearch(form, { level: false, up: 1, reach }).best({ parts, follow, call: -1 });
  const planner = median(() => timed(() => void search()));
  let made = buildMold(one, "bench", "export");
  const checks = median(() => {
    made = buildMold(one, "bench", "export");
    return made.times.opening + timed(() => void checkMold(made));
  });
  const n = triangles(made);
  const k = kernelTime(body, n).ms;
  console.log(
    [
      name.padEnd(34),
      "export ",
      String(n).padStart(7),
      planner.toFixed(1).padStart(8),
      checks.toFixed(1).padStart(8),
      k.toFixed(1).padStart(7),
      ((planner + checks) / k).toFixed(2).padStart(6),
      plannedSum(search(), made),
    ].join("  "),
  );
}

/** Unit normals of a part's clay, spread over most of a half-space; the same each time. */
function normalsOf(count: number): Float64Array {
  const normals = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) {
    // Multiples of two irrational steps spread evenly.
    const [y, z] = [2 * ((i * Math.SQRT2) % 1) - 1, (((i * Math.E) % 1) - 0.4) * 0.6];
    const length = Math.hypot(1, y, z);
    normals.set([1 / length, y / length, z / length], 3 * i);
  }
  return normals;
}

const clay = normalsOf(50_000);
const pull = median(() => timed(() => void bestPull({ clay })));
console.log(`best pull of 50 000 normals: ${pull.toFixed(2)} ms; ${bestPull({ clay }).t.toFixed(9)}`);
