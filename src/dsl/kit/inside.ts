import type { CallId } from "../../../shared/place.ts";
import { Form } from "../form/form.ts";
import { insideMesh } from "../mold/free-measure.ts";
import { makeGrid } from "../mold/grid.ts";
import { isSeenWhole } from "../mold/seen.ts";
import { erode } from "../mold/shell.ts";
import { ring } from "../outline/ring.ts";
import type { Mesh } from "../solid/mesh.ts";
import { SURFACE } from "../tolerances.ts";
import { Body } from "./body.ts";
import { checkBody, checkShrinkage } from "./bodies.ts";
import type { Clay } from "./clay.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber } from "./options.ts";
import { Outline, Section } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";
import { Remembered } from "./remembered.ts";

/** Levels that lie nearer than this, mm, to the straight line between their neighbours are left out. */
const LEVEL_ERROR = 0.02;
const PROBES = 90;

const insides = new Remembered<Mesh | null>();

/**
 * The room inside a pot as a body, fired size: what lies at least the fired slab's thickness from
 * the side and from the board. It begins on top of the base.
 *
 * @param body fired size
 * @param options `slab`: wet clay, mm; `clay`: a `clay(…)` or its total shrinkage, of which the
 *   shrinkage across the slab counts
 */
export function inside(body: Body, options: { slab: number; clay: Clay | string | number }): Body {
  const call = recordCall("inside");
  const outside = checkBody("inside", call, body);
  const site = { name: "inside", call, argument: 1 };
  const given = checkKeys(site, options, ["slab", "clay"]);
  const slab = checkNumber(site, "slab", given.slab, { min: 1, max: 40, unit: "mm" });
  const { clay, total } = checkShrinkage("inside", call, 1, given.clay, ["clay"]);
  recordMade(call, clay ? [body.call, clay.call] : [body.call]);
  const thickness = slab * (1 - (clay?.thickness ?? total));
  const fired = Math.round(thickness * 100) / 100;
  const refuse = (what: string) => {
    const reason = `a slab ${fired} mm thick when fired ${what}.`;
    return new KitError("kit-conflict", { call: "inside", reason }, { call, argument: 1, path: ["slab"] });
  };
  if (isSeenWhole(outside)) return insideOfLevels(outside, thickness, call, refuse);
  const mesh = insides.of([outside, thickness], () => insideMesh(outside, thickness, "inside"));
  if (!mesh) throw refuse("leaves no room that reaches the mouth");
  const shape = { kind: "mesh", mesh, from: "this inside", stays: true } as const;
  return new Body([], "straight", body.open, call, [], shape);
}

/** The inside of a body whose level sections are seen whole from their middle: level sections again. */
function insideOfLevels(
  body: Body,
  thickness: number,
  call: CallId,
  refuse: (what: string) => KitError,
): Body {
  const form = new Form(body, 1);
  if (thickness >= form.height) throw refuse(`fills a pot ${form.height} mm high`);
  const grid = makeGrid(form, { tolerance: SURFACE.idle, us: [], zs: [thickness], turn: 0.26 });
  const shell = erode(grid, thickness);
  const base = grid.zs.findIndex((z) => z >= thickness - 1e-3);
  const rows = shell.rows
    .map(({ angles, radii }, j) => ({ j, z: grid.zs[j], angles, radii }))
    .filter(({ j }) => j >= base);
  const filled = rows.find(({ radii }) => radii[0] === 0);
  if (filled) throw refuse(`leaves no room at z ${Math.round(filled.z * 10) / 10}`);
  const sections = thinned(rows).map(({ j, z, angles, radii }) => {
    const points = Array.from(angles, (angle, i) => ({
      x: radii[i] * Math.cos(angle),
      y: radii[i] * Math.sin(angle),
    }));
    const { x, y } = grid.centres[j];
    return new Section(new Outline(ring(points)!, call, x, y), z, call);
  });
  return new Body(sections, "straight", body.open, call);
}

interface Row {
  j: number;
  z: number;
  angles: Float64Array;
  radii: Float64Array;
}

/** The rows between which all others lie on straight lines, within `LEVEL_ERROR`. */
function thinned(rows: readonly Row[]): Row[] {
  const probed = rows.map(({ angles, radii }) => probe(angles, radii));
  const kept = [rows[0]];
  let from = 0;
  for (let to = 2; to < rows.length; to++) {
    const straight = rows.slice(from + 1, to).every((row, k) => {
      const share = (row.z - rows[from].z) / (rows[to].z - rows[from].z);
      const own = probed[from + 1 + k];
      return own.every(
        (radius, i) => Math.abs(radius - probed[from][i] * (1 - share) - probed[to][i] * share) < LEVEL_ERROR,
      );
    });
    if (straight) continue;
    from = to - 1;
    kept.push(rows[from]);
  }
  kept.push(rows[rows.length - 1]);
  return kept;
}

/** Radii at equally spaced angles. */
function probe(angles: Float64Array, radii: Float64Array): number[] {
  const turn = 2 * Math.PI;
  const first = angles[0];
  let i = 0;
  return Array.from({ length: PROBES }, (_, k) => {
    const angle = first + (turn * k) / PROBES;
    while (i + 1 < angles.length && angles[i + 1] <= angle) i++;
    const next = i + 1 < angles.length ? angles[i + 1] : first + turn;
    const share = next > angles[i] ? (angle - angles[i]) / (next - angles[i]) : 0;
    return radii[i] * (1 - share) + radii[(i + 1) % radii.length] * share;
  });
}
