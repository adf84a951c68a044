import type { CallId } from "../../../shared/place.ts";
import { sweptSurface } from "../form/swept.ts";
import type { Body } from "../kit/body.ts";
import { KitError } from "../kit/error.ts";
import { Border } from "../solid/border.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { loftSurface } from "./loft-surface.ts";
import { closedShells, facetSurface } from "./free-mesh.ts";
import type { Vec3 } from "./model.ts";
import { snap } from "../solid/weld.ts";
import { Unbuildable } from "./unbuildable.ts";

/**
 * A body that is not made of level sections: it runs on through its openings, and `beyond` is what
 * lies behind them.
 */
export interface FreeShape {
  extended: Solid;
  beyond: Solid | null;
  /** The clay itself: `extended` without `beyond`. */
  clay: Solid;
  /** Of that, what lies behind openings that are not level. */
  aside: Solid | null;
  /** Heights of the level planes in which it is open upwards and downwards, mm; null where it is not. */
  top: number | null;
  foot: number | null;
}

/** How a body is opened, besides where it says so itself. */
export interface Opening {
  /** What is trimmed off it: an end that goes with it need not be flat. */
  by?: Solid | null;
  /** Opened below as well where it has a level foot. */
  foot?: boolean;
  /** A mesh is left at the height where it was written, to meet another body there, and not set down on z = 0. */
  placed?: boolean;
  /** A mesh is taken as it is, whatever its ends are like. */
  closed?: boolean;
}

/** An end that leans by less than this, 1 − cosine, is level. */
const LEVEL = 1e-9;

/** Far enough for any vessel, mm. */
const FAR = 4000;

/**
 * The shape of a body in the wet frame.
 *
 * @param scale wet size / fired size
 * @param margin how far it runs on through its openings, mm
 */
export function freeShape(
  scope: Scope,
  body: Body,
  scale: number,
  tolerance: number,
  margin: number,
  opening: Opening = {},
): FreeShape {
  const shape = body.solid;
  if (!shape) {
    return loftThroughOpenings(scope, body, scale, tolerance, margin, opening);
  }
  switch (shape.kind) {
    case "sweep": {
      const { outline, path, taper, ends } = shape;
      const swept = sweptSurface(outline, path, taper, scale, ends, margin, tolerance);
      if (swept.crossing)
        throw new Unbuildable({
          code: "body-crossing",
          severity: "error",
          args: { z: Math.round(swept.crossing[2]) },
          target: { call: body.call, argument: 1 },
          at: swept.crossing,
        });
      const extended = scope.surface(swept.surface, { face: "cavity", call: body.call });
      const width = 2 * (swept.reach + margin);
      const plates = swept.ends.map(({ at, normal }) =>
        scope.solid(plateBehind(at, normal, 2 * margin, width, body.call)),
      );
      const isLevel = (i: number) => Math.abs(swept.ends[i].normal[2]) > 1 - LEVEL;
      const slanted = plates.filter((_, i) => !isLevel(i));
      const level = (up: 1 | -1) =>
        swept.ends.find(({ normal }, i) => isLevel(i) && up * normal[2] > 0)?.at[2] ?? null;
      const beyond = scope.union(plates);
      return {
        extended,
        beyond,
        clay: scope.subtract(extended, beyond),
        aside: slanted.length > 0 ? scope.union(slanted) : null,
        top: level(1),
        foot: level(-1),
      };
    }
    case "mesh": {
      const { stays } = shape;
      const { placed = stays, closed = stays } = opening;
      const shells = closedShells(shape.mesh, shape.from, scale, body, placed).map((mesh) =>
        scope.surface(facetSurface(mesh), { face: "cavity", call: body.call }),
      );
      const solid = shells.length > 1 ? scope.union(shells) : shells[0];
      if (closed) return { extended: solid, beyond: null, clay: solid, aside: null, top: null, foot: null };
      return throughOpenings(scope, solid, body, margin, opening);
    }
    case "trim": {
      const cutter = freeShape(scope, shape.by, scale, tolerance, margin, {
        placed: true,
        closed: true,
      }).clay;
      const full = opening.by ? scope.union([opening.by, cutter]) : cutter;
      const whole = freeShape(scope, shape.body, scale, tolerance, margin, {
        ...opening,
        by: full,
        placed: true,
      });
      refuseTrim(scope, whole.clay, cutter, body);
      const cut = scope.retag(full, { face: "rim", call: body.call });
      return {
        ...whole,
        beyond: whole.beyond ? scope.add(whole.beyond, cut) : cut,
        clay: scope.subtract(whole.clay, cut),
        aside: whole.aside ? scope.add(whole.aside, cut) : cut,
      };
    }
  }
}

/** Less than this is nothing, mm³. */
const LEAST_CUT = 1;

/** A cut that misses, that leaves nothing, or that leaves pieces apart: a slip of the design. */
function refuseTrim(scope: Scope, whole: Solid, cutter: Solid, { call }: Body): void {
  const refuse = (reason: string) => {
    throw new KitError("kit-conflict", { call: "trim", reason }, { call });
  };
  const cut = scope.commonVolume(whole, cutter);
  if (cut < LEAST_CUT)
    refuse("the body does not reach what trims it, so that nothing is cut; move it, or leave trim out.");
  if (whole.volume - cut < LEAST_CUT)
    refuse(
      "nothing of the body lies outside what trims it; move it outwards, or give the two the other way round.",
    );
  const pieces = scope.apart(scope.subtract(whole, cutter)).filter(({ volume }) => volume >= LEAST_CUT);
  if (pieces.length > 1)
    refuse(
      `it leaves ${pieces.length} pieces apart, and a mold shapes one; shorten the body to the one that is meant.`,
    );
}

type End = "top" | "bottom";

/** Height of the slice that says what an opening looks like, below its plane, mm. */
const BELOW = 0.01;
/** An opening whose flat is less than this share of the section under it is not one. */
const FLAT_SHARE = 0.9;

/**
 * A closed solid that runs on upwards through its top, or downwards through its bottom; not where
 * that end is trimmed off, for then the cut is the opening.
 */
function throughOpenings(
  scope: Scope,
  solid: Solid,
  { open, call }: Body,
  margin: number,
  { by = null, foot: alsoFoot = false }: Opening,
): FreeShape {
  const { min, max } = scope.bounds(solid);
  const left = by ? scope.bounds(scope.subtract(solid, by)) : { min, max };
  const tag = { face: "cavity", call } as const;
  const rim = { face: "rim", call } as const;
  const parts: Solid[] = [solid];
  const beyond: Solid[] = [];
  const box = (low: number, high: number) => scope.box([-FAR, -FAR, low], [FAR, FAR, high], rim);
  const ends = {
    top: { plane: max[2], inwards: -1, used: open !== "bottom" && left.max[2] > max[2] - BELOW },
    bottom: { plane: min[2], inwards: 1, used: (open !== "top" || alsoFoot) && left.min[2] < min[2] + BELOW },
  } as const;
  const faceAt = (where: End) => {
    const { plane, inwards } = ends[where];
    const near = scope.section(solid, plane + inwards * BELOW);
    const deeper = scope.section(solid, plane + inwards * 20 * BELOW);
    return { near, deeper: deeper.area, flat: near.area > FLAT_SHARE * deeper.area };
  };
  const openAt = (where: End): number | null => {
    const { plane, inwards } = ends[where];
    const { near, deeper, flat } = faceAt(where);
    // A level foot that nobody asked for is opened where there is one.
    if (!flat && where === "bottom" && open === "top") return null;
    if (!flat) {
      const other = where === "top" ? "bottom" : "top";
      throw new Unbuildable({
        code: "rim-uneven",
        severity: "error",
        args: { where, flat: Math.round(near.area), section: Math.round(deeper) },
        target: { call },
        at: [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, plane],
        value: Math.round(near.area),
        limit: Math.round(FLAT_SHARE * deeper),
        unit: "mm²",
        fixes: faceAt(other).flat
          ? [
              {
                title: "fix-open-end",
                args: { where: other },
                change: { kind: "setOption", call, argument: 1, path: ["open"], value: other },
              },
            ]
          : [],
      });
    }
    const face = levelFace(scope, solid, plane);
    if (face && face.area > WHOLE_FACE * near.area)
      parts.push(scope.move(scope.raise(face, margin, tag), [0, 0, inwards < 0 ? plane : plane - margin]));
    else {
      const raised = scope.raise(near, margin + BELOW, tag);
      parts.push(scope.move(raised, [0, 0, inwards < 0 ? plane - BELOW : plane - margin]));
    }
    beyond.push(inwards < 0 ? box(plane, plane + 2 * margin) : box(plane - 2 * margin, plane));
    return plane;
  };
  const top = ends.top.used ? openAt("top") : null;
  const foot = ends.bottom.used ? openAt("bottom") : null;
  const extended = parts.length > 1 ? scope.union(parts) : solid;
  const behind = beyond.length > 0 ? scope.union(beyond) : null;
  return {
    extended,
    beyond: behind,
    clay: behind ? scope.subtract(extended, behind) : extended,
    aside: null,
    top,
    foot,
  };
}

/** What of a section near by a level face must cover, for the face itself to run on. */
const WHOLE_FACE = 0.98;

/** The facets of a solid that lie in a level plane, as one region; null where there are none. */
function levelFace(scope: Scope, solid: Solid, plane: number): Flat | null {
  const { positions: p, triangles: t } = scope.mesh(solid).mesh;
  const border = new Border();
  for (let i = 0; i < t.length; i += 3) {
    const corners = [t[i], t[i + 1], t[i + 2]] as const;
    if (corners.every((v) => p[3 * v + 2] === plane)) border.triangle(...corners);
  }
  const loops = border.loops().map((loop) => loop.map((v): [number, number] => [p[3 * v], p[3 * v + 1]]));
  return loops.length > 0 ? scope.flat(loops) : null;
}

/** A loft is level at both ends: it goes on upright behind them from the very points of its ends. */
function loftThroughOpenings(
  scope: Scope,
  body: Body,
  scale: number,
  tolerance: number,
  margin: number,
  { by = null, foot: alsoFoot = false }: Opening,
): FreeShape {
  const { open, call } = body;
  const up = open !== "bottom";
  const down = open !== "top" || alsoFoot;
  const runOn = { foot: down ? margin : 0, rim: up ? margin : 0 };
  const extended = scope.surface(loftSurface(body, scale, tolerance, runOn), { face: "cavity", call });
  const height = snap(body.sections[body.sections.length - 1].z * scale);
  const rim = { face: "rim", call } as const;
  const beyond: Solid[] = [];
  if (up) beyond.push(scope.box([-FAR, -FAR, height], [FAR, FAR, height + 2 * margin], rim));
  if (down) beyond.push(scope.box([-FAR, -FAR, -2 * margin], [FAR, FAR, 0], rim));
  const behind = beyond.length > 0 ? scope.union(beyond) : null;
  const clay = behind ? scope.subtract(extended, behind) : extended;
  // An end that is trimmed off is no opening.
  const left = scope.bounds(by ? scope.subtract(clay, by) : clay);
  return {
    extended,
    beyond: behind,
    clay,
    aside: null,
    top: up && left.max[2] > height - BELOW ? height : null,
    foot: down && left.min[2] < BELOW ? 0 : null,
  };
}

/** A thick square plate behind a plane: what is cut off there, without reaching what lies beside it. */
function plateBehind(at: Vec3, normal: Vec3, depth: number, width: number, call: CallId): Tagged {
  const other: Vec3 = Math.abs(normal[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const cross = (a: Vec3, b: Vec3): Vec3 => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const raw = cross(other, normal);
  const length = Math.hypot(...raw);
  const x = raw.map((value) => value / length) as Vec3;
  const y = cross(normal, x);
  const builder = new MeshBuilder(8);
  builder.face("rim", call);
  const half = width / 2;
  const corner = (i: number, j: number, k: number) =>
    builder.vertex(
      ...([0, 1, 2].map(
        (axis) => at[axis] + i * half * x[axis] + j * half * y[axis] + k * depth * normal[axis],
      ) as Vec3),
    );
  const low = [corner(-1, -1, 0), corner(1, -1, 0), corner(1, 1, 0), corner(-1, 1, 0)];
  const high = [corner(-1, -1, 1), corner(1, -1, 1), corner(1, 1, 1), corner(-1, 1, 1)];
  builder.quad(low[3], low[2], low[1], low[0]);
  builder.quad(high[0], high[1], high[2], high[3]);
  for (let k = 0; k < 4; k++) builder.quad(low[k], low[(k + 1) % 4], high[(k + 1) % 4], high[k]);
  return builder.finish();
}
