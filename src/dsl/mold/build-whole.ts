import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { MeshBuilder } from "../solid/builder.ts";
import { withScope } from "../solid/kernel.ts";
import { joinChains } from "../solid/strip.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { snap } from "../solid/weld.ts";
import { GRID_TURN, SHELL_MARGIN, SURFACE } from "../tolerances.ts";
import { loosePart, modelFrame, sizes } from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { insideVolume } from "./capacity.ts";
import { COARSE } from "./coarse.ts";
import { clayFacets } from "./clay-facets.ts";
import { buildClay } from "./clay-solid.ts";
import { makeGrid, type Grid } from "./grid.ts";
import { CHAMFER, levelsOf, shelfReach, wholeLayout, type Layout } from "./layout.ts";
import { liftOff } from "./lift-off.ts";
import { baseMarks, inscription } from "./marks.ts";
import { onePiece } from "./one-piece.ts";
import { buildRibs } from "./ribs.ts";
import { widen } from "./rows.ts";
import { clayScale } from "./scale.ts";
import { drawSeams, polarAngle } from "./seams.ts";
import { dilate, type ShellRow } from "./shell.ts";
import { baseVents } from "./vents.ts";

/**
 * A mold of one piece, of level sections that are star-shaped: the clay leaves through its open top.
 * The mold stands on ribs while it is filled; then a board is laid on the rim, all is turned over,
 * and the mold is lifted off the pot.
 */
export function buildWhole(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const chord = quality === "typing" ? COARSE : 0;
  const form = new Form(spec.body, scale.cavity);
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const closed = spec.base.kind === "closed";
  const layout = wholeLayout(spec, wall, {
    foot: closed ? -snap(wall + SHELL_MARGIN) : 0,
    height: form.height,
  });
  const grid = makeGrid(form, {
    tolerance,
    us: [],
    zs: levelsOf(layout, form),
    turn: GRID_TURN[quality],
  });
  const outside = withRim(grid, dilate(grid, wall).rows, layout);
  const shell = joinShell(grid, outside, layout, spec);
  const ribs = buildRibs(grid, outside, layout, spec.call);
  const bare = withScope((scope) =>
    tidy(scope.mesh(scope.add(scope.solid(shell), scope.compose(ribs.map((rib) => scope.solid(rib)))))),
  );
  const clay = buildClay([bare], spec.body.call);
  const shaped = performance.now();

  const [around] = drawSeams(grid, [{ follow: "form", u: 0, angle: polarAngle(grid.form, 0, 0) }]);
  const opening = liftOff(clayFacets(grid, around, around), clay);
  const opened = performance.now();

  const change: PartChange = {
    part: "whole",
    adds: [],
    cuts: [
      ...(spec.vents && closed ? baseVents(grid, spec.vents, layout.foot, spec.call) : []),
      ...(spec.marks && closed && quality !== "typing"
        ? baseMarks(inscription(name, "", scale.total), grid, layout.foot, spec.vents?.size ?? 0, spec.call)
        : []),
    ],
  };
  const inside = spec.slab === "solid" ? null : insideVolume(grid, spec.slab, spec.base.slab);
  const keyed = performance.now();
  return onePiece({
    frame: {
      ...modelFrame(name, spec, scale, wall, tolerance),
      press: spec.press ?? "closed",
      ...sizes(clay, inside, spec, scale),
      vessel: loosePart("vessel", "vessel", clay),
    },
    spec,
    scale,
    layout,
    grid,
    cavity: grid,
    axis: grid.centres[0],
    opening,
    bare,
    change,
    chord,
    clay,
    times: { shape: shaped - start, opening: opened - shaped, keys: keyed - opened },
  });
}

/** The outside steps in by no more than this from row to row, mm per mm: just under 45° (practice), so that it prints without support. */
const STEP_IN = 0.98;

/**
 * The shell with the shelf of the rim on each row; the foot has none. Where the form flares by more
 * than 45°, plastic fills in under it: the mold prints standing, as it is filled.
 */
function withRim(grid: Grid, shell: readonly ShellRow[], layout: Layout): ShellRow[] {
  const last = grid.zs.length - 1;
  const rim = { ring: shell[last], centre: grid.centres[last] };
  const rows = grid.zs.map((z, j) =>
    widen(shell[j], grid.centres[j], layout.foot === z ? CHAMFER : 0, [
      { ...rim, reach: shelfReach(layout, z).rim },
    ]),
  );
  for (let j = last - 1; j >= 0; j--) {
    const above = { ring: rows[j + 1], centre: grid.centres[j + 1] };
    rows[j] = widen(rows[j], grid.centres[j], 0, [
      { ...above, reach: STEP_IN * (grid.zs[j] - grid.zs[j + 1]) },
    ]);
  }
  return rows;
}

/** Points of the outside nearer to each other than this, mm, are one. */
const LEAST_EDGE = 0.02;

/** Inside and outside as rings, joined row by row and closed at rim and foot. */
function joinShell(grid: Grid, outside: readonly ShellRow[], layout: Layout, spec: MoldSpec): Tagged {
  const builder = new MeshBuilder(grid.zs.length * 200);
  const inner = grid.zs.map((z, j) =>
    grid.columns.map((_, i) => builder.vertex(grid.x[j][i], grid.y[j][i], z)),
  );
  const ring = (row: ShellRow, j: number, z: number, less = 0) => {
    const c = grid.centres[j];
    const keys: number[] = [];
    const vertices: number[] = [];
    let [lastX, lastY] = [NaN, NaN];
    const point = (i: number) => [
      c.x + (row.radii[i] - less) * Math.cos(row.angles[i]),
      c.y + (row.radii[i] - less) * Math.sin(row.angles[i]),
    ];
    const [firstX, firstY] = point(0);
    row.angles.forEach((_, i) => {
      const [x, y] = point(i);
      const near = Math.hypot(x - lastX, y - lastY) < LEAST_EDGE;
      if (i > 0 && (near || Math.hypot(x - firstX, y - firstY) < LEAST_EDGE)) return;
      keys.push(i === 0 ? row.us[0] : Math.max(row.us[i], keys[keys.length - 1]));
      vertices.push(builder.vertex(x, y, z));
      [lastX, lastY] = [x, y];
    });
    return { keys: [...keys, row.us[0] + 1], vertices: [...vertices, vertices[0]] };
  };
  const outer = outside.map((row, j) => ring(row, j, grid.zs[j]));
  if (layout.foot < 0) {
    outer.unshift(ring(outside[0], 0, layout.foot, CHAMFER), ring(outside[0], 0, layout.foot + CHAMFER));
  }
  builder.face("cavity", spec.body.call);
  for (let j = 0; j + 1 < inner.length; j++) {
    for (let i = 0; i < grid.columns.length; i++) {
      const k = (i + 1) % grid.columns.length;
      // The diagonal of the clay's own quad, seen from the other side.
      builder.triangle(inner[j][i], inner[j + 1][k], inner[j][k]);
      builder.triangle(inner[j][i], inner[j + 1][i], inner[j + 1][k]);
    }
  }
  builder.face("outside", spec.call);
  for (let r = 0; r + 1 < outer.length; r++) {
    const [low, high] = [outer[r], outer[r + 1]];
    const vertex = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
    joinChains(low.keys, high.keys, (a, b, c) => builder.triangle(vertex(a), vertex(b), vertex(c)));
  }
  const loop = (one: { vertices: number[] }) => one.vertices.slice(0, -1);
  builder.face("rim", spec.call);
  builder.cap([loop(outer[outer.length - 1]), [...inner[inner.length - 1]].reverse()], true);
  if (layout.foot < 0) {
    builder.face("cavity", spec.body.call);
    builder.cap([inner[0]], true);
    builder.face("foot", spec.call);
    builder.cap([loop(outer[0])], false);
  } else {
    builder.face("foot", spec.call);
    builder.cap([loop(outer[0]), [...inner[0]].reverse()], false);
  }
  return builder.finish();
}
