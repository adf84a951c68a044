import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { MoldPart, Vec3 } from "../mold/model.ts";
import { facetCross } from "../solid/measure.ts";

/** Faces that lean over more than this from upright want support, degrees (practice). */
const STEEP = 45;
/** Facets this near to the bed lie on it, mm. */
const ON_BED = 0.05;
/** Sagging lines on less of the clay face wash off with a sponge, mm² (practice). */
const CLAY_FACE = 10;
/** Elsewhere less sags without harm, mm² (practice). */
const ELSEWHERE = 1500;

interface Overhang {
  area: number;
  at: Vec3;
}

/** Faces that sag in the print: a warning where they shape the clay, a note elsewhere. */
export function overhang({ spec, model }: BuiltMold): Finding[] {
  return model.parts.flatMap((part): Finding[] => {
    if (part.role !== "wall" && part.role !== "floor") return [];
    const found = overhangsOf(part);
    const tell = (where: Overhang, limit: number): Finding[] => {
      if (where.area <= limit) return [];
      const onClay = where === found.clay;
      const [x, y, z] = where.at;
      return [
        {
          code: "overhang",
          severity: onClay ? "warning" : "info",
          ...(onClay ? {} : { variant: "elsewhere" }),
          args: { part: part.name, area: Math.round(where.area), z: Math.round(z), limit: STEEP },
          target: { call: onClay ? spec.body.call : spec.call },
          mold: model.name,
          part: part.name,
          value: Math.round(where.area),
          limit,
          unit: "mm²",
          at: [x, y, z],
        },
      ];
    };
    const onClay = tell(found.clay, CLAY_FACE);
    return onClay.length > 0 ? onClay : tell(found.elsewhere, ELSEWHERE);
  });
}

/** Area that overhangs as the part prints, with the middle of its largest facet, mold frame. */
export function overhangsOf(part: Pick<MoldPart, "mesh" | "runs" | "bedTurn">): {
  clay: Overhang;
  elsewhere: Overhang;
} {
  const { mesh, bedTurn } = part;
  const { positions: p, triangles: t } = mesh;
  const [ux, uy, uz] = [bedTurn[2], bedTurn[6], bedTurn[10]];
  const height = (i: number) => ux * p[3 * i] + uy * p[3 * i + 1] + uz * p[3 * i + 2];
  let bed = Infinity;
  for (let i = 0; i < p.length / 3; i++) bed = Math.min(bed, height(i));
  const least = Math.sin((STEEP * Math.PI) / 180) + 1e-3;
  const sums = { clay: { area: 0, largest: 0, facet: -1 }, elsewhere: { area: 0, largest: 0, facet: -1 } };
  for (const run of part.runs) {
    // Its ceiling is a bridge no wider than a squeeze gutter, which prints without support (practice).
    if (run.face === "gutter") continue;
    const sum = run.face === "cavity" ? sums.clay : sums.elsewhere;
    for (let k = run.start; k < run.start + run.count; k++) {
      const [nx, ny, nz] = facetCross(mesh, 3 * k);
      const twice = Math.hypot(nx, ny, nz);
      if (-(ux * nx + uy * ny + uz * nz) <= least * twice) continue;
      const [a, b, c] = [t[3 * k], t[3 * k + 1], t[3 * k + 2]];
      if ((height(a) + height(b) + height(c)) / 3 - bed < ON_BED) continue;
      sum.area += twice / 2;
      if (twice > sum.largest) {
        sum.largest = twice;
        sum.facet = k;
      }
    }
  }
  const placed = ({ area, facet }: { area: number; facet: number }): Overhang => {
    if (facet < 0) return { area, at: [0, 0, 0] };
    const middle = [0, 1, 2].map(
      (axis) =>
        (p[3 * t[3 * facet] + axis] + p[3 * t[3 * facet + 1] + axis] + p[3 * t[3 * facet + 2] + axis]) / 3,
    );
    return { area, at: middle as unknown as Vec3 };
  };
  return { clay: placed(sums.clay), elsewhere: placed(sums.elsewhere) };
}
