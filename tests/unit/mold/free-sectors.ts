import { cutBy } from "../../../src/dsl/leaving/drawn.ts";
import { binFacing, facingAlong } from "../../../src/dsl/leaving/facing.ts";
import { vertexAreas, type Facets } from "../../../src/dsl/leaving/facets.ts";
import { planOpening, type ClosedPart } from "../../../src/dsl/leaving/plan.ts";
import { dot, squareTo, unit, type Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { facetSurface } from "../../../src/dsl/mold/free-mesh.ts";
import { withScope, type Scope, type Solid } from "../../../src/dsl/solid/kernel.ts";
import { boundsOf } from "../../../src/dsl/solid/measure.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";

/** A solid cut into equal sectors by planes that meet in a line through its middle. */
export interface Sectors {
  parts: number;
  /** Unit direction of the line. */
  axis: Vec3;
  /** Turn of the first plane about it, radians. */
  turn: number;
}

/** How one part leaves the solid, and what came of really moving it. */
export interface SectorPart {
  direction: Vec3;
  undercutMm2: number;
  undercutMm: number;
  /** The most that it cuts into the solid on its way, mm³. */
  cutMm3: number;
  /** Overlap with the solid after `NUDGE`, mm³: by the kernel, and by the facets that face the wrong way. */
  nudgedMm3: number;
  expectedMm3: number;
}

/** A move so short, mm, that only facets that face against it are met: Σ area · max(0, −n·m) · length (derived). */
export const NUDGE = 0.02;
/** Plastic around the solid, mm. */
const AROUND = 12;
/** Of the ways to cut, so many are planned in full. */
const PLANNED = 3;

interface Frame {
  middle: Vec3;
  /** Half the diagonal of the solid's box, mm. */
  radius: number;
  axis: Vec3;
  first: Vec3;
  second: Vec3;
}

/** The least undercut that so many equal sectors leave, of lines and turns spread evenly. */
export function bestSectors(mesh: Mesh, parts: number): { sectors: Sectors; found: SectorPart[] } {
  const ways = candidates(parts)
    .map((sectors) => ({ sectors, area: roughly(mesh, sectors) }))
    .sort((a, b) => a.area - b.area)
    .slice(0, PLANNED);
  const planned = ways.map(({ sectors }) => ({ sectors, found: cutInto(mesh, sectors) }));
  return planned.reduce((a, b) => (sum(b.found) < sum(a.found) ? b : a));
}

export const sum = (found: readonly SectorPart[]): number =>
  found.reduce((all, { undercutMm2 }) => all + undercutMm2, 0);

/** Lines over a half-sphere and turns about each; two parts are told by the plane alone, so they need no turns. */
function candidates(parts: number): Sectors[] {
  const ways: Sectors[] = [];
  const lines = parts === 2 ? 12 : 24;
  const turns = parts === 2 ? 12 : 6;
  for (let k = 0; k < lines; k++) {
    const z = 1 - (k + 0.5) / lines;
    const angle = k * Math.PI * (3 - Math.sqrt(5));
    const radius = Math.sqrt(1 - z * z);
    const axis: Vec3 = [radius * Math.cos(angle), radius * Math.sin(angle), z];
    for (let t = 0; t < turns; t++) ways.push({ parts, axis, turn: (2 * Math.PI * t) / (parts * turns) });
  }
  for (const axis of [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ] as Vec3[])
    for (let t = 0; t < turns; t++) ways.push({ parts, axis, turn: (2 * Math.PI * t) / (parts * turns) });
  return ways;
}

function frameOf(mesh: Mesh, { axis }: Sectors): Frame {
  const { min, max } = boundsOf(mesh);
  const middle = [0, 1, 2].map((k) => (min[k] + max[k]) / 2) as Vec3;
  const [first, second] = squareTo(axis);
  return { middle, radius: Math.hypot(...max.map((value, k) => value - min[k])) / 2, axis, first, second };
}

const at = ({ first, second }: Frame, angle: number): Vec3 =>
  first.map((value, k) => value * Math.cos(angle) + second[k] * Math.sin(angle)) as Vec3;

/** Area facing the wrong way along the best of many directions of each sector, whole facets, mm². */
function roughly(mesh: Mesh, sectors: Sectors): number {
  const frame = frameOf(mesh, sectors);
  const surface = facetSurface(mesh);
  const areas = vertexAreas(surface);
  const span = (2 * Math.PI) / sectors.parts;
  const lists = Array.from({ length: sectors.parts }, () => ({
    normals: [] as number[],
    areas: [] as number[],
  }));
  for (let i = 0; i < surface.triangles.length; i += 3) {
    const p = [0, 1, 2].map(
      (k) =>
        (surface.positions[3 * i + k] + surface.positions[3 * i + 3 + k] + surface.positions[3 * i + 6 + k]) /
          3 -
        frame.middle[k],
    ) as Vec3;
    const angle = Math.atan2(dot(p, frame.second), dot(p, frame.first)) - sectors.turn;
    const sector =
      Math.floor((((angle % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI)) / span) % sectors.parts;
    lists[sector].normals.push(...surface.normals.subarray(3 * i, 3 * i + 3));
    lists[sector].areas.push(3 * areas[i]);
  }
  return lists.reduce((all, { normals, areas }, i) => {
    const bins = binFacing({ normals: Float64Array.from(normals), areas: Float64Array.from(areas) });
    const [from, to] = [at(frame, sectors.turn + i * span), at(frame, sectors.turn + (i + 1) * span)];
    let least = Infinity;
    for (let k = 0; k < 200; k++) {
      const z = 1 - (2 * k + 1) / 200;
      const angle = k * Math.PI * (3 - Math.sqrt(5));
      const m: Vec3 = [Math.sqrt(1 - z * z) * Math.cos(angle), Math.sqrt(1 - z * z) * Math.sin(angle), z];
      const slides = dot(cross(frame.axis, from), m) >= 0 && dot(cross(frame.axis, to), m) <= 0;
      if (slides) least = Math.min(least, facingAlong(bins, m).area);
    }
    return all + least;
  }, 0);
}

/** Cuts a closed solid, plans how the parts leave it, and moves them. */
export function cutInto(mesh: Mesh, sectors: Sectors): SectorPart[] {
  return withScope((scope) => {
    const frame = frameOf(mesh, sectors);
    const solid = scope.surface(facetSurface(mesh), { face: "cavity", call: -1 });
    const span = (2 * Math.PI) / sectors.parts;
    const reach = 3 * (frame.radius + AROUND);
    const low = frame.middle.map((value) => value - frame.radius - AROUND) as Vec3;
    const high = frame.middle.map((value) => value + frame.radius + AROUND) as Vec3;
    const around = scope.subtract(scope.box(low, high, { face: "outside", call: -1 }), solid);
    const wedges = Array.from({ length: sectors.parts }, (_, i) =>
      wedge(scope, frame, sectors.turn + i * span, span, reach),
    );
    const parts = wedges.map((one, i): ClosedPart => {
      const [from, to] = [sectors.turn + i * span, sectors.turn + (i + 1) * span];
      const into = cross(frame.axis, at(frame, from));
      const out = cross(frame.axis, at(frame, to));
      const before = (i + sectors.parts - 1) % sectors.parts;
      const after = (i + 1) % sectors.parts;
      const contacts = new Map<string, Float64Array>([[String(before), Float64Array.from(into)]]);
      const other = [...(contacts.get(String(after)) ?? []), ...out.map((value) => -value)];
      contacts.set(String(after), Float64Array.from(other));
      const clay: Facets = scope.facets(scope.intersect(solid, one), "cavity");
      return { name: String(i), clay, middle: at(frame, (from + to) / 2), contacts, beside: null };
    });
    const options = { stand: null, level: false, keyDraft: 0, wantedDraft: 0 };
    return planOpening(parts, mesh, options).map(({ part, direction, undercut }): SectorPart => {
      const plastic = scope.intersect(around, wedges[Number(part)]);
      const moved = scope.move(plastic, direction.map((value) => NUDGE * value) as Vec3);
      const { areaMm2, depthMm } = undercut.complete();
      return {
        direction,
        undercutMm2: areaMm2,
        undercutMm: depthMm,
        cutMm3: cutBy(scope.mesh(plastic).mesh, direction, mesh),
        nudgedMm3: scope.commonVolume(moved, solid),
        expectedMm3: NUDGE * against(parts[Number(part)].clay, direction),
      };
    });
  });
}

/** Area of facets as they are seen from behind along a direction, mm². */
function against({ positions: p, triangles: t }: Mesh, m: Vec3): number {
  let area = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const u: Vec3 = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const v: Vec3 = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    area += Math.max(0, -dot(n, m) / 2);
  }
  return area;
}

/** Everything between two half-planes about the frame's line, out to `reach`. */
function wedge(scope: Scope, frame: Frame, from: number, span: number, reach: number): Solid {
  const steps = 8;
  const loop = Array.from({ length: steps + 1 }, (_, k): [number, number] => {
    const angle = from + (span * k) / steps;
    return [reach * Math.cos(angle), reach * Math.sin(angle)];
  });
  const flat = scope.flat([[[0, 0], ...loop]]);
  const prism = scope.move(scope.raise(flat, 2 * reach, { face: "seam", call: -1 }), [0, 0, -reach]);
  return scope.place(prism, frame.first, frame.second, frame.axis, frame.middle);
}

function cross(a: Vec3, b: Vec3): Vec3 {
  return unit([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])!;
}
