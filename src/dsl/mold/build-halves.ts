import type { Quality } from "../../../shared/engine.ts";
import { withVerdicts } from "./undercut-verdict.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { withScope, type Flat, type Scope, type Solid } from "../solid/kernel.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { snap } from "../solid/weld.ts";
import { SHELL_MARGIN, SURFACE } from "../tolerances.ts";
import { degrees, leavingPart, loosePart, loosePegs, modelFrame, seamName, sizes } from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { withChange } from "./change.ts";
import { flatKeys, gutterOf, intoPlane, outOfPlane, pointOf, type FlatSeam } from "./flat-seam.ts";
import { freeShape } from "./free-shape.ts";
import type { SeamKeys } from "./keys.ts";
import type { Layout } from "./layout.ts";
import { backMarks, inscription } from "./marks.ts";
import type { Vec3 } from "./model.ts";
import { openPieces } from "./open-pieces.ts";
import { tryOpening } from "./opening.ts";
import { clayScale } from "./scale.ts";
import { sideVents } from "./vents.ts";

/** A handle runs on behind its openings as far as the plastic around them, and this much more, mm. */
const RUN_ON = 2;

/**
 * Two halves that meet in an upright plane through the origin, for solid clay: blocks around the
 * clay with flat backs, so that each lies steady while clay is pressed into it and prints on its
 * back with the seam face up, without support.
 */
export function buildHalves(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  return withScope((scope) => buildIn(scope, spec, name, quality));
}

function buildIn(scope: Scope, spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const margin = wall + spec.flange.width + RUN_ON;
  const shape = freeShape(scope, spec.body, scale.cavity, tolerance, margin);
  const claySolid = shape.clay;
  const clay = tidy(scope.mesh(claySolid));
  const seam = seamOf(spec);

  // In the frame of the seam: the proud half above z = 0, the hollow one below.
  const extended = intoPlane(scope, shape.extended, seam);
  const beyond = shape.beyond ? intoPlane(scope, shape.beyond, seam) : null;
  const shadow = scope.shadow(extended);
  const outline = notched(scope, scope.grow(shadow, wall + SHELL_MARGIN + spec.flange.width), spec);
  const { min, max } = scope.bounds(intoPlane(scope, claySolid, seam));
  if (min[2] > -LEAST_SHARE || max[2] < LEAST_SHARE) throw missed(spec);
  const deep = [
    snap(Math.max(max[2], 0) + wall + SHELL_MARGIN),
    snap(Math.max(-min[2], 0) + wall + SHELL_MARGIN),
  ];
  const tag = { face: "outside", call: spec.call } as const;
  const seamTag = { face: "seam", call: spec.seams.call >= 0 ? spec.seams.call : spec.call } as const;
  // The seam face is cut by a box of its own, so that it is known as such.
  const block = scope.move(scope.raise(outline, deep[0] + deep[1], tag), [0, 0, -deep[1]]);
  const outer = beyond ? scope.subtract(block, beyond) : block;
  const shell = scope.subtract(outer, extended);
  const far = 4000;
  const above = scope.box([-far, -far, 0], [far, far, far], seamTag);
  const below = scope.box([-far, -far, -far], [far, far, 0], seamTag);
  const local = [scope.intersect(shell, above), scope.intersect(shell, below)];
  const names = [seam.proud, seam.hollow];
  const bare = local.map((half, i) => ({
    name: names[i],
    ...tidy(scope.mesh(outOfPlane(scope, half, seam))),
  }));
  const shaped = performance.now();

  const clayIn = intoPlane(scope, claySolid, seam);
  const touched = [above, below].map((side) => {
    const share = scope.intersect(clayIn, side);
    return outwards(scope.facets(share, "cavity"), seam);
  });
  const opening = openPieces(
    bare.map((half, i) => ({
      name: half.name,
      touched: touched[i],
      middle: i === 0 ? backwards(seam.axis) : seam.axis,
      meets: [{ other: names[1 - i], normal: i === 0 ? backwards(seam.axis) : seam.axis }],
    })),
    clay.mesh,
    null,
    spec,
  );
  const planned = performance.now();

  const height = snap(scope.bounds(claySolid).max[2]);
  const layout = layoutOf(spec, wall, height);
  const section = scope.section(extended, 0);
  const plane = { clay: section, face: outline, beyond: beyond ? scope.section(beyond, 0) : null };
  const gutter = gutterOf(scope, plane, seam, spec.call);
  const keys = flatKeys(scope, plane, seam, spec.keys, spec.printer, layout, [...opening.parts.keys()][0]);
  const marks = (i: number) =>
    spec.marks && quality !== "typing"
      ? halfMarks(
          scope,
          inscription(name, names[i], scale.total),
          outline,
          beyond,
          seam,
          deep[i],
          i === 0,
          spec,
        )
      : [];
  const changes = changesOf(spec, bare, keys, gutter, opening, wall).map((change, i) => ({
    ...change,
    cuts: [...change.cuts, ...marks(i)],
  }));
  const changed = bare.map((half, i) => withChange(half, changes[i]));
  const keyed = performance.now();
  const opened = tryOpening(
    opening,
    new Map(changed.map(({ mesh }, i) => [names[i], mesh] as const)),
    clay.mesh,
    () => true,
  );
  const openedAt = performance.now();
  const claySection = scope.section(clayIn, 0);
  return {
    model: {
      ...modelFrame(name, spec, scale, wall, tolerance),
      press: spec.press ?? "parts",
      ...sizes(clay, null, spec, scale),
      vessel: loosePart("vessel", "vessel", clay),
      parts: [
        ...changed.map((solid, i) =>
          leavingPart(names[i], "wall", solid, opening.parts.get(names[i])!, ontoBack(seam, i === 0)),
        ),
        ...loosePegs([keys]),
      ],
      seams: [
        {
          name: seam.name,
          parts: [seam.proud, seam.hollow],
          follow: "flat",
          atDeg: degrees(Math.atan2(seam.outwards[1], seam.outwards[0])),
          curve: curveOf(scope, claySection, seam),
        },
      ],
      keys: keys.keys.map((one) => one.model),
      moves: opened.moves,
      undercuts: withVerdicts(opening.undercuts, spec.limits.undercut, null),
    },
    spec,
    scale,
    layout,
    grid: null,
    seams: [],
    faces: [],
    opening,
    opened,
    keys: [keys],
    bare,
    changes,
    meshed: false,
    whole: outer.volume,
    clay,
    times: { shape: shaped - start, opening: planned - shaped + openedAt - keyed, keys: keyed - planned },
  };
}

/** Both halves hold at least this much of the clay's depth, mm. */
const LEAST_SHARE = 0.5;

function missed({ seams }: MoldSpec): KitError {
  const plane = seams.plane === "xz" ? "y = 0" : "x = 0";
  const reason = `the plane ${plane} does not go through the clay, so it cannot be parted there; move the body or part it at the other plane.`;
  return new KitError(
    "kit-conflict",
    { call: "split.halves", reason },
    { call: seams.call, argument: 0, path: ["plane"] },
  );
}

function seamOf(spec: MoldSpec): FlatSeam {
  const along: Vec3 = spec.seams.plane === "xz" ? [1, 0, 0] : [0, 1, 0];
  // Counter-clockwise of the way outwards lies the part with the sockets.
  const axis: Vec3 = spec.seams.plane === "xz" ? [0, 1, 0] : [-1, 0, 0];
  return { name: seamName(0), proud: "wall-a", hollow: "wall-b", at: [0, 0, 0], outwards: along, axis };
}

const backwards = (v: Vec3): Vec3 => [0 - v[0], 0 - v[1], 0 - v[2]];

function layoutOf(spec: MoldSpec, wall: number, height: number): Layout {
  return {
    height,
    foot: 0,
    wall,
    flange: spec.flange,
    shelf: { width: 0, thick: 0 },
    bands: { at: [], width: spec.bands.width, depth: spec.bands.depth },
    gutter: { from: 0, to: 0 },
    floor: false,
    floorGap: 0,
  };
}

/** The outline of the blocks with seats for bands on both sides, at even heights. */
function notched(scope: Scope, outline: Flat, { bands }: MoldSpec): Flat {
  const loops = scope.loops(outline);
  const ys = loops.flat().map(([, y]) => y);
  const [low, high] = [Math.min(...ys), Math.max(...ys)];
  const seats: [number, number][][] = [];
  for (let i = 0; i < bands.count; i++) {
    const y = low + ((high - low) * (i + 0.5)) / bands.count;
    const [left, right] = extentsAt(loops, y - bands.width / 2, y + bands.width / 2);
    const half = bands.width / 2;
    // Each seat opens outwards at 45°.
    const seat = (x: number, out: 1 | -1): [number, number][] => {
      const loop: [number, number][] = [
        [x - out * bands.depth, y - half],
        [x + out * FAR_OUT, y - half - bands.depth - FAR_OUT],
        [x + out * FAR_OUT, y + half + bands.depth + FAR_OUT],
        [x - out * bands.depth, y + half],
      ];
      return out > 0 ? loop : loop.reverse();
    };
    seats.push(seat(left, -1), seat(right, 1));
  }
  return seats.reduce((rest, seat) => scope.flatWithout(rest, scope.flat([seat])), outline);
}

/** Wide enough to open a seat to the air, mm. */
const FAR_OUT = 6;

/** Nearest that the left and the right border of a region come to one another between two heights. */
function extentsAt(
  loops: readonly (readonly [number, number][])[],
  from: number,
  to: number,
): [number, number] {
  let [left, right] = [-Infinity, Infinity];
  for (let k = 0; k <= 4; k++) {
    const y = from + ((to - from) * k) / 4;
    const xs: number[] = [];
    for (const loop of loops) {
      loop.forEach(([ax, ay], i) => {
        const [bx, by] = loop[(i + 1) % loop.length];
        if (ay > y !== by > y) xs.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
      });
    }
    if (xs.length === 0) continue;
    left = Math.max(left, Math.min(...xs));
    right = Math.min(right, Math.max(...xs));
  }
  return [left, right];
}

/** Facets of the seam's frame in the frame of the mold; their normals have stayed in it. */
function outwards<T extends { positions: Float64Array }>(facets: T, seam: FlatSeam): T {
  const z = backwards(seam.axis);
  const { positions: p } = facets;
  const positions = new Float64Array(p.length);
  for (let i = 0; i < p.length; i += 3)
    for (let k = 0; k < 3; k++)
      positions[i + k] =
        seam.at[k] + p[i] * seam.outwards[k] + p[i + 1] * (k === 2 ? 1 : 0) + p[i + 2] * z[k];
  return { ...facets, positions };
}

function changesOf(
  spec: MoldSpec,
  halves: readonly { name: string; mesh: Mesh }[],
  keys: SeamKeys,
  gutter: Tagged | null,
  opening: ReturnType<typeof openPieces>,
  wall: number,
): PartChange[] {
  return halves.map(({ name: part, mesh }, i) => {
    const leaving = opening.parts.get(part)!;
    const vents = spec.vents ? sideVents(leaving, mesh, spec.vents, wall, spec.call) : [];
    return i === 0
      ? {
          part,
          adds: keys.keys.flatMap((one) => one.peg ?? []),
          cuts: [...keys.keys.flatMap((one) => one.counter ?? []), ...vents],
        }
      : {
          part,
          adds: [],
          cuts: [...(gutter ? [gutter] : []), ...keys.keys.map((one) => one.socket), ...vents],
        };
  });
}

/** The inscription on the flat back of a half, clear of what is cut away at its openings. */
function halfMarks(
  scope: Scope,
  line: string,
  outline: Flat,
  beyond: Solid | null,
  seam: FlatSeam,
  deep: number,
  proud: boolean,
  spec: MoldSpec,
): Tagged[] {
  const back = beyond ? scope.flatWithout(outline, scope.shadow(beyond)) : outline;
  const axis = proud ? backwards(seam.axis) : seam.axis;
  // Seen from behind the proud half, outwards lies to the right; behind the other to the left.
  const sense = proud ? 1 : -1;
  const loops = scope.loops(back).map((loop) => loop.map(([x, y]): [number, number] => [sense * x, y]));
  return backMarks(
    line,
    loops,
    (x, y) => ({
      at: [0, 1, 2].map((k) => pointOf(seam, [sense * x, y])[k] + deep * axis[k]) as Vec3,
      axis,
      side: seam.outwards.map((value) => sense * value) as Vec3,
    }),
    spec.call,
  );
}

/** Lays a half on its back: the seam face looks up. */
function ontoBack(seam: FlatSeam, proud: boolean): number[] {
  // Rows are the bed's x, y and z in the frame of the mold.
  const z = proud ? seam.axis : backwards(seam.axis);
  const x = seam.outwards;
  const y: Vec3 = [z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]];
  return [x[0], y[0], z[0], 0, x[1], y[1], z[1], 0, x[2], y[2], z[2], 0, 0, 0, 0, 1];
}

/** Where the clay meets the seam. */
function curveOf(scope: Scope, section: Flat, seam: FlatSeam): Vec3[] {
  const loops = scope.loops(section);
  const longest = loops.reduce((a, b) => (b.length > a.length ? b : a), []);
  return [...longest, ...longest.slice(0, 1)].map((place) => pointOf(seam, place));
}
