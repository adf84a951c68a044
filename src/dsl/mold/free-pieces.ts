import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Facets } from "../leaving/facets.ts";
import { runsInto } from "../leaving/order.ts";
import type { Tagged } from "../solid/tagged.ts";
import { degrees } from "./assemble.ts";
import { facetNormals } from "./clay-facets.ts";
import type { FlatSeam } from "./flat-seam.ts";
import type { FreeShape } from "./free-shape.ts";
import type { Vec3 } from "./model.ts";
import type { Piece } from "./open-pieces.ts";
import { bevels } from "./opening.ts";
import { middleOf, type Sector } from "./sector-facets.ts";

const UP: Vec3 = [0, 0, 1];
const DOWN: Vec3 = [0, 0, -1];
const against = (v: Vec3): Vec3 => [0 - v[0], 0 - v[1], 0 - v[2]];

/** The clay of one sector as the opening sees it. */
export function freePiece(
  name: string,
  touched: Facets,
  part: number,
  seams: readonly FlatSeam[],
  sector: Sector,
  floor: { wall: Tagged; plate: Tagged } | null,
): Piece {
  const [first, second] = [seams[part], seams[(part + 1) % seams.length]];
  const angle = middleOf(sector);
  const middle: Vec3 = [Math.cos(angle), Math.sin(angle), 0];
  return {
    name,
    touched,
    middle,
    meets: [
      { other: first.proud, normal: first.axis },
      { other: second.hollow, normal: against(second.axis) },
    ],
    beside: floor && {
      normals: bevels(facetNormals(floor.wall.mesh, floor.wall.runs, "floor"), middle),
      blocks: (m) =>
        runsInto(
          { name, mesh: floor.wall.mesh, pull: m },
          { name: "floor", mesh: floor.plate.mesh, pull: DOWN },
          m,
        ) !== null,
    },
  };
}

/** What the clay stands on while the mold is opened; null for solid clay that lies in its parts. */
export function standOf(spec: MoldSpec, shape: FreeShape): Vec3 | null {
  if (spec.slab === "solid" && shape.foot === null) return null;
  return spec.stand === "foot" ? UP : DOWN;
}

/** The slice that an opening is run on from is this thick, mm; with room for rounding. */
const SLICE = 0.0102;

/**
 * Facets without those that lie wholly in the slice that an opening of a mesh is run on from: the step
 * there is none of the clay's.
 */
export function withoutEdges(facets: Facets, { top, foot }: FreeShape): Facets {
  const { positions: p, triangles: t } = facets;
  const kept: number[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const zs = [p[3 * t[i] + 2], p[3 * t[i + 1] + 2], p[3 * t[i + 2] + 2]];
    const beside = [top, foot].some(
      (plane) => plane !== null && zs.every((z) => Math.abs(z - plane) < SLICE),
    );
    if (!beside) kept.push(t[i], t[i + 1], t[i + 2]);
  }
  return { ...facets, triangles: Uint32Array.from(kept) };
}

/** A sector with no clay in it shapes nothing. */
export function nothingBetween(angles: readonly number[], part: number, spec: MoldSpec): KitError {
  return refused(angles, part, "there is no clay to shape", spec);
}

/** A part is printed and held as one. */
export function fallsApart(
  angles: readonly number[],
  part: number,
  pieces: number,
  spec: MoldSpec,
): KitError {
  return refused(angles, part, `the part would fall into ${pieces} pieces`, spec);
}

function refused(angles: readonly number[], part: number, what: string, { seams, call }: MoldSpec): KitError {
  const [from, to] = [angles[part], angles[(part + 1) % angles.length]].map((angle) =>
    Math.round(degrees(angle)),
  );
  const reason = `between the seams at ${from}° and ${to}° ${what}; turn them with “at”, or use fewer parts.`;
  return new KitError(
    "kit-conflict",
    { call: "split", reason },
    seams.call >= 0 ? { call: seams.call, argument: 0, path: ["at"] } : { call },
  );
}
