import modeling from "@jscad/modeling";
import type { CallId } from "../../../shared/place.ts";
import { withScope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Grid } from "./grid.ts";
import type { SeamKeys } from "./keys.ts";
import { bedLevel, shelfWidths, bandDepth, CHAMFER, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import type { Frame } from "./revolved.ts";
import { cavityRow } from "./ribs.ts";
import { radiusAt } from "./rows.ts";
import type { SeamFace } from "./seam-face.ts";

/** Height of engraved letters, mm, and the least at which they still print (practice). */
const LETTER = 5;
const LEAST_LETTER = 3.5;
/** Width and depth of an engraved stroke, mm (practice). */
const STROKE = 0.9;
const DEPTH = 0.6;
/** Where strokes meet, corners nearer than this to a straight line are left out, mm. */
const JOINED = 0.01;
/** Strokes start this far outside the face, mm. */
const OVER = 0.5;
/** From the letters to the edge of the flange, mm. */
const EDGE = 2.5;

/** On everything of a mold that has the size of the fired pot: someone is to scale it. */
export const NOT_SCALED = "NOT SCALED";

/** What is written on a part: the mold's name, its ring's number and its letter, and the shrinkage that it allows for. */
export function inscription(name: string, part: string, total: number): string {
  const percent = total === 0 ? NOT_SCALED : `${Math.round(total * 1000) / 10}%`;
  const which = part
    .replace(/^wall-/, "")
    .replace(/^ring-(\d+)-/, "$1")
    .toUpperCase();
  return `${name.toUpperCase()} ${which} ${percent}`;
}

/** Strokes of a line of text, from its lower left corner, mm. */
interface Lettering {
  strokes: [number, number][][];
  width: number;
  height: number;
}

function letter(line: string, height: number): Lettering {
  const strokes = (modeling.text.vectorText({ height }, line) as [number, number][][]).filter(
    (one) => one.length > 1,
  );
  const xs = strokes.flat().map(([x]) => x);
  const left = Math.min(...xs);
  return {
    strokes: strokes.map((one) => one.map(([x, y]): [number, number] => [x - left, y])),
    width: Math.max(...xs) - left,
    height,
  };
}

/** The line as large as fits a width, with the name cut short where it must be; null where nothing fits. */
function fitted(line: string, width: number): Lettering | null {
  for (let rest = line; rest.length > 0; rest = shorter(rest)) {
    for (const height of [LETTER, (LETTER + LEAST_LETTER) / 2, LEAST_LETTER]) {
      const made = letter(rest, height);
      if (made.width <= width) return made;
    }
  }
  return null;
}

/** Without the last letter of its first word, so that part and shrinkage stay, and the part longest of all. */
function shorter(line: string): string {
  const words = line.split(" ");
  if (words.length === 2) return words[0];
  const first = words[0].slice(0, -1);
  return [...(first ? [first] : []), ...words.slice(1)].join(" ");
}

/**
 * One cutter for all strokes on a surface: joined in the plane of the text, then laid on the surface
 * point by point. Letters side by side are one solid of several pieces.
 *
 * @param frameAt where a point of the text lies: the surface's outward normal as `axis`, the
 *   direction of reading as `side`
 */
function engraved(lettering: Lettering, frameAt: (x: number, y: number) => Frame, call: CallId): Tagged[] {
  return withScope((scope) => {
    const strokes = lettering.strokes.flatMap((stroke) => stroke.slice(1).map((b, i) => bar(stroke[i], b)));
    const letters = scope.plainer(scope.flat(strokes), JOINED);
    const { mesh, runs } = scope.mesh(scope.raise(letters, DEPTH + OVER, { face: "mark", call }));
    const positions = new Float64Array(mesh.positions.length);
    for (let v = 0; v < positions.length; v += 3) {
      const [x, y, z] = mesh.positions.subarray(v, v + 3);
      const { at, axis } = frameAt(x, y);
      for (let k = 0; k < 3; k++) positions[v + k] = at[k] + (z - DEPTH) * axis[k];
    }
    return [{ mesh: { ...mesh, positions }, runs }];
  });
}

/** A stroke from a to b as a loop, a little longer than it so that bent strokes are whole. */
function bar([ax, ay]: [number, number], [bx, by]: [number, number]): [number, number][] {
  const length = Math.hypot(bx - ax, by - ay);
  const [cos, sin] = [(bx - ax) / length, (by - ay) / length];
  const [along, half] = [0.4 * STROKE, 0.5 * STROKE];
  const beside = (x: number, y: number, out: number, side: number): [number, number] => [
    x + out * along * cos - side * half * sin,
    y + out * along * sin + side * half * cos,
  ];
  return [beside(ax, ay, -1, -1), beside(bx, by, 1, -1), beside(bx, by, 1, 1), beside(ax, ay, -1, 1)];
}

/** The back of a flange: where it is free of shelves, and its edge. */
interface Back {
  face: SeamFace;
  /** 1: of the part after the seam; −1: of the part before it. */
  side: 1 | -1;
}

/** A place on the back of a flange at a height and a distance inwards from its edge. */
function backFrame({ face, side }: Back, layout: Layout, z: number, inwards: number): Frame {
  let row = 0;
  while (row + 2 < face.points.length && face.points[row + 1][0].z <= z) row++;
  const along = (r: number) => {
    const points = face.points[r];
    const [start, end] = [points[0], points[points.length - 1]];
    const length = Math.hypot(end.x - start.x, end.y - start.y);
    const [dx, dy] = [(end.x - start.x) / length, (end.y - start.y) / length];
    // Band seats and the bed's chamfer are cut into the edge that the text keeps its distance from.
    const cut = bandDepth(layout, end.z) + (Math.abs(end.z - bedLevel(layout)) < 1e-6 ? CHAMFER : 0);
    const out = cut - inwards;
    const thick = side * layout.flange.thickness;
    return { x: end.x + out * dx - thick * dy, y: end.y + out * dy + thick * dx, z: end.z, dx, dy };
  };
  const [low, high] = [along(row), along(row + 1)];
  const share = (z - low.z) / (high.z - low.z);
  const at: Vec3 = [low.x + share * (high.x - low.x), low.y + share * (high.y - low.y), z];
  const up = unit([high.x - low.x, high.y - low.y, high.z - low.z]);
  const outwards: Vec3 = [low.dx, low.dy, 0];
  // up × outwards points counter-clockwise: out of the back of the part after the seam.
  const normal = unit(cross(up, outwards)).map((value) => side * value) as Vec3;
  return { at, axis: normal, side: up };
}

const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

function unit(v: Vec3): Vec3 {
  const length = Math.hypot(...v);
  return [v[0] / length, v[1] / length, v[2] / length];
}

/** From the shelves of rim and foot to the text, mm. */
const SHELF_ROOM = 2;

/**
 * Marks on the backs of a wall's two flanges: on the one with the pegs the number of its seam and the
 * inscription, reading upwards; on the one with the sockets the number of that seam.
 */
export function wallMarks(
  line: string,
  seams: { face: SeamFace; number: string; keys: SeamKeys }[],
  layout: Layout,
  call: CallId,
): Tagged[] {
  const [sockets, pegs] = seams;
  const shelves = shelfWidths(layout);
  // As far as the shelf comes near the letters; a ring is too low to stay clear of all of it.
  const clear = layout.joints ? layout.flange.width - EDGE - LETTER : 0;
  const beside = (width: number) => layout.shelf.thick + Math.max(0, width - clear) + SHELF_ROOM;
  const low = layout.foot + beside(shelves.foot);
  const high = layout.height - beside(shelves.rim);
  const write = (lettering: Lettering, back: Back, z: number) =>
    engraved(
      lettering,
      (x, y) => {
        // Seen from outside with z up, the flange's edge lies to the right of its peg side's back.
        const inwards = back.side < 0 ? EDGE + y : EDGE + lettering.height - y;
        return backFrame(back, layout, z + x, inwards);
      },
      call,
    );
  const marks: Tagged[] = [];
  const full = fitted(`${pegs.number} ${line}`, high - low);
  if (full) marks.push(...write(full, { face: pegs.face, side: -1 }, low));
  const number = letter(sockets.number, LETTER);
  const place = freeHeight(low, high - number.width, number.width, sockets.keys, layout);
  if (place !== null) marks.push(...write(number, { face: sockets.face, side: 1 }, place));
  return marks;
}

/** The lowest height at which a stretch of a flange has no key behind it; null where there is none. */
function freeHeight(
  low: number,
  high: number,
  stretch: number,
  keys: SeamKeys,
  layout: Layout,
): number | null {
  for (let z = low; z <= high; z += 0.5) {
    const clear = keys.keys.every(
      ({ model }) => Math.abs(model.at[2] - (z + stretch / 2)) > stretch / 2 + model.size + 0.5,
    );
    if (clear && z > layout.foot) return z;
  }
  return null;
}

/** The inscription on the underside of a closed base, read from below. */
export function baseMarks(line: string, grid: Grid, foot: number, clear: number, call: CallId): Tagged[] {
  const row = cavityRow(grid, 0);
  const c = grid.centres[0];
  const across = Math.min(radiusAt(row, 0), radiusAt(row, Math.PI));
  const lettering = fitted(line, 1.5 * across);
  if (!lettering) return [];
  // Beside the vent in the middle.
  const lift = clear + 1;
  return engraved(
    lettering,
    (x, y) => ({
      at: [c.x - (x - lettering.width / 2), c.y + lift + y, foot],
      axis: [0, 0, -1],
      side: [-1, 0, 0],
    }),
    call,
  );
}

/**
 * The inscription on a flat back, given by its outline, where that is widest.
 *
 * @param frameAt the place of a point of the outline on the back, with the text's direction
 */
export function backMarks(
  line: string,
  loops: readonly (readonly (readonly [number, number])[])[],
  frameAt: (x: number, y: number) => Frame,
  call: CallId,
): Tagged[] {
  const ys = loops.flat().map(([, y]) => y);
  let best: { left: number; right: number; y: number } | null = null;
  for (let y = Math.min(...ys) + 1; y + LETTER + 1 < Math.max(...ys); y += 1) {
    const stretch = [y - 1, y + LETTER / 2, y + LETTER + 1]
      .map((level) => stretchesAt(loops, level))
      .reduce((a, b) =>
        a.flatMap(([l, r]) =>
          b.flatMap(([m, s]): [number, number][] =>
            Math.min(r, s) > Math.max(l, m) ? [[Math.max(l, m), Math.min(r, s)]] : [],
          ),
        ),
      );
    for (const [left, right] of stretch)
      if (!best || right - left > best.right - best.left) best = { left, right, y };
  }
  if (!best) return [];
  const { left, right, y: base } = best;
  const lettering = fitted(line, right - left - 4);
  if (!lettering) return [];
  const start = (left + right - lettering.width) / 2;
  return engraved(lettering, (x, y) => frameAt(start + x, base + y), call);
}

function stretchesAt(
  loops: readonly (readonly (readonly [number, number])[])[],
  y: number,
): [number, number][] {
  const xs: number[] = [];
  for (const loop of loops) {
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length];
      if (ay > y !== by > y) xs.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
    });
  }
  xs.sort((a, b) => a - b);
  return Array.from({ length: xs.length >> 1 }, (_, i): [number, number] => [xs[2 * i], xs[2 * i + 1]]);
}
