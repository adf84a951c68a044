import type { CallId } from "../../../shared/place.ts";
import { KitError } from "../kit/error.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Mesh } from "../solid/mesh.ts";
import { joinChains } from "../solid/strip.ts";
import type { Grid } from "./grid.ts";
import { floorChord, type Layout } from "./layout.ts";

import { thinned } from "./coarse.ts";
import { meshStretch, stretchesOf, type Inset, type Stretch } from "./inset.ts";
import { innerChain, radiusAt, type WallRow } from "./rows.ts";
import type { SeamFace } from "./seam-face.ts";
import type { SeamLine } from "./seams.ts";
import { lastNotAbove } from "./shell.ts";
import type { FaceRun } from "../solid/tagged.ts";

/** Calls that the faces of a wall are traced back to. */
export interface WallCalls {
  body: CallId;
  mold: CallId;
  seams: CallId;
}

/** How a wall is meshed. */
export interface WallDetail {
  /** Chains of inner and outer face may be thinned as long as they stay this near, mm; 0 keeps all points. */
  chord: number;
  /** Sockets in its first seam and pegs on its second that are meshed into the faces. */
  sockets: readonly Inset[];
  pegs: readonly Inset[];
}

const FULL: WallDetail = { chord: 0, sockets: [], pegs: [] };

interface Ring {
  inner: { keys: number[]; vertices: number[] };
  outer: { keys: number[]; vertices: number[] };
  /** Outer edge of the flange on its far side, where the flange meets the shell: at the first and second seam. */
  backs: [number, number];
  /** Seam stations from the cavity outwards, at the first and second seam. */
  faces: [number[], number[]];
}

/**
 * One wall part between two seams: rings of vertices on every row, joined row to row, capped at
 * foot and rim. It carries the sockets (and the gutter) of its first seam and the pegs of its second.
 */
export function buildWall(
  grid: Grid,
  rows: readonly WallRow[],
  seams: readonly SeamLine[],
  faces: readonly SeamFace[],
  part: number,
  layout: Layout,
  calls: WallCalls,
  detail = FULL,
): { mesh: Mesh; runs: FaceRun[] } {
  const first = part;
  const second = (part + 1) % seams.length;
  const builder = new MeshBuilder(rows.length * 200);
  const rings = rows.map((row, r) =>
    makeRing(builder, grid, row, r, seams, faces, first, second, layout, calls.mold, detail.chord),
  );
  const sockets = stretchesOf(faces[first], detail.sockets);
  const pegs = stretchesOf(faces[second], detail.pegs);
  const isTaken = (stretches: readonly Stretch[], r: number, s: number) =>
    stretches.some(({ from, to, start }) => r >= from && r < to && s >= start);
  for (let r = 0; r + 1 < rings.length; r++) {
    const low = rings[r];
    const high = rings[r + 1];
    builder.face(rows[r].z < -1e-6 ? "floor" : "cavity", calls.body);
    join(builder, low.inner, high.inner, true);
    builder.face("outside", calls.mold);
    join(builder, low.outer, high.outer, false);
    builder.face("flange", calls.mold);
    const edge = low.faces[0].length - 1;
    builder.quad(low.faces[0][edge], low.backs[0], high.backs[0], high.faces[0][edge]);
    builder.quad(low.backs[0], low.outer.vertices[0], high.outer.vertices[0], high.backs[0]);
    const lowEnd = low.outer.vertices.at(-1)!;
    const highEnd = high.outer.vertices.at(-1)!;
    builder.quad(lowEnd, low.backs[1], high.backs[1], highEnd);
    builder.quad(low.backs[1], low.faces[1][edge], high.faces[1][edge], high.backs[1]);
    for (let s = 0; s < edge; s++) {
      if (!isTaken(sockets, r, s)) {
        builder.face(faces[first].cells[r][s], calls.seams);
        const [a, b] = [low.faces[0], high.faces[0]];
        builder.triangle(a[s], a[s + 1], b[s + 1]);
        builder.triangle(a[s], b[s + 1], b[s]);
      }
      if (!isTaken(pegs, r, s)) {
        builder.face(faces[second].cells[r][s], calls.seams);
        const [c, d] = [low.faces[1], high.faces[1]];
        builder.triangle(c[s + 1], c[s], d[s + 1]);
        builder.triangle(c[s], d[s], d[s + 1]);
      }
    }
  }
  for (const [side, stretches] of [sockets, pegs].entries()) {
    const vertices = rings.map((ring) => ring.faces[side]);
    const face = faces[side === 0 ? first : second];
    for (const one of stretches) meshStretch(builder, one, face, vertices, side === 1, calls.seams);
  }
  builder.face("foot", calls.mold);
  builder.cap([loopOf(rings[0])], false);
  builder.face("rim", calls.mold);
  builder.cap([loopOf(rings[rings.length - 1])], true);
  return builder.finish();
}

function makeRing(
  builder: MeshBuilder,
  grid: Grid,
  row: WallRow,
  r: number,
  seams: readonly SeamLine[],
  faces: readonly SeamFace[],
  first: number,
  second: number,
  layout: Layout,
  call: CallId,
  chord: number,
): Ring {
  const { thickness } = layout.flange;
  const from = faces[first].hollow[r].map((p) => builder.vertex(p.x, p.y, p.z));
  const to = faces[second].proud[r].map((p) => builder.vertex(p.x, p.y, p.z));
  const innerChord = layout.floor && row.z < 1e-6 ? floorChord(layout, chord) : chord;
  const chain = thinned(innerChain(grid, row, seams[first], seams[second]), innerChord);
  const inner = {
    keys: chain.map((point) => point.u),
    vertices: chain.map((point, i) =>
      i === 0 ? from[0] : i === chain.length - 1 ? to[0] : builder.vertex(point.x, point.y, row.z),
    ),
  };
  const start = backOf(row, seams[first], row.flange[first], thickness - row.chamfer, 1, call);
  const end = backOf(row, seams[second], row.flange[second], thickness - row.chamfer, -1, call);
  const outer = [{ u: start.u, x: start.x, y: start.y }];
  const { angles, us, radii } = row.outside;
  const startAngle = start.angle;
  const sweep = turnFrom(startAngle, end.angle);
  const span = turnFrom(seamAngle(row, seams[first]), seamAngle(row, seams[second])) || TURN;
  if (sweep > span) throw noFlange(row.z, thickness, call);
  const count = angles.length;
  const turned = startAngle + TURN * Math.ceil((angles[0] - startAngle) / TURN);
  const firstRay = (lastNotAbove(angles, turned) + 1) % count;
  let last = { x: start.x, y: start.y };
  for (let k = 0; k < count; k++) {
    const i = (firstRay + k) % count;
    const gone = turnFrom(startAngle, angles[i]);
    if (gone >= sweep) break;
    const x = row.centre.x + radii[i] * Math.cos(angles[i]);
    const y = row.centre.y + radii[i] * Math.sin(angles[i]);
    if (Math.hypot(x - last.x, y - last.y) < LEAST_EDGE || Math.hypot(x - end.x, y - end.y) < LEAST_EDGE)
      continue;
    let u = us[i];
    while (u <= start.u) u += 1;
    while (u > start.u + 1) u -= 1;
    outer.push({ u: Math.max(u, outer[outer.length - 1].u), x, y });
    last = { x, y };
  }
  let endKey = end.u;
  while (endKey <= start.u) endKey += 1;
  outer.push({ u: Math.max(endKey, outer[outer.length - 1].u), x: end.x, y: end.y });
  const shown = thinned(outer, chord);
  return {
    inner,
    outer: {
      keys: shown.map(({ u }) => u),
      vertices: shown.map(({ x, y }) => builder.vertex(x, y, row.z)),
    },
    backs: [
      builder.vertex(start.cornerX, start.cornerY, row.z),
      builder.vertex(end.cornerX, end.cornerY, row.z),
    ],
    faces: [from, to],
  };
}

const TURN = 2 * Math.PI;

/** Points of the outside nearer to each other than this, mm, are one. */
const LEAST_EDGE = 0.02;

const seamAngle = (row: WallRow, seam: SeamLine) => Math.atan2(seam.dirY[row.grid], seam.dirX[row.grid]);

const turnFrom = (from: number, to: number) => to - from - TURN * Math.floor((to - from) / TURN);

/**
 * The back of a flange on one level: parallel to the seam's ruling at its thickness, from its outer
 * corner to where it meets the outside. `side` 1 lies counter-clockwise of the seam.
 */
function backOf(row: WallRow, seam: SeamLine, flange: number, thickness: number, side: 1 | -1, call: CallId) {
  const dx = seam.dirX[row.grid];
  const dy = seam.dirY[row.grid];
  const angle = Math.atan2(dy, dx);
  const { angles, us, radii } = row.outside;
  const count = angles.length;
  // Walks the outside away from the seam until it is a flange's thickness aside.
  let aside = 0;
  let forth = radiusAt(row.outside, angle);
  let u = seam.us[row.grid];
  const turned = angle + TURN * Math.ceil((angles[0] - angle) / TURN);
  const below = lastNotAbove(angles, turned);
  let i = side > 0 ? (below + 1) % count : below;
  for (let k = 0; k < count; k++, i = (i + side + count) % count) {
    const turn = side > 0 ? turnFrom(angle, angles[i]) : turnFrom(angles[i], angle);
    if (turn < 1e-9 || turn > TURN - 1e-9) continue;
    if (turn > 0.97 * Math.PI) break;
    const nextAside = radii[i] * Math.sin(turn);
    const nextForth = radii[i] * Math.cos(turn);
    const nextU = us[i] + Math.round(u - us[i]);
    if (nextAside >= thickness) {
      const share = (thickness - aside) / (nextAside - aside);
      const q = forth + share * (nextForth - forth);
      if (q >= flange - 0.1) break;
      const x = row.centre.x + dx * q - dy * side * thickness;
      const y = row.centre.y + dy * q + dx * side * thickness;
      return {
        x,
        y,
        angle: Math.atan2(y - row.centre.y, x - row.centre.x),
        u: u + share * (nextU - u),
        cornerX: row.centre.x + dx * flange - dy * side * thickness,
        cornerY: row.centre.y + dy * flange + dx * side * thickness,
      };
    }
    aside = nextAside;
    forth = nextForth;
    u = nextU;
  }
  throw noFlange(row.z, thickness, call);
}

/** Beside a seam there is no room for its flange: too many parts for so slender a form. */
function noFlange(z: number, thickness: number, call: CallId): KitError {
  const reason = `near z ${z.toFixed(0)} the parts are too narrow for flanges ${thickness} mm thick; use fewer parts or thinner flanges.`;
  return new KitError("kit-conflict", { call: "mold", reason }, { call, argument: 1, path: ["flange"] });
}

function join(
  builder: MeshBuilder,
  low: { keys: number[]; vertices: number[] },
  high: { keys: number[]; vertices: number[] },
  inwards: boolean,
): void {
  const vertex = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
  joinChains(low.keys, high.keys, (a, b, c) => {
    if (inwards) builder.triangle(vertex(a), vertex(c), vertex(b));
    else builder.triangle(vertex(a), vertex(b), vertex(c));
  });
}

/** A ring as one loop, counter-clockwise seen from above. */
function loopOf(ring: Ring): number[] {
  return [
    ...ring.faces[0],
    ring.backs[0],
    ...ring.outer.vertices,
    ring.backs[1],
    ...[...ring.faces[1]].reverse(),
    ...ring.inner.vertices.slice(1, -1).reverse(),
  ];
}
