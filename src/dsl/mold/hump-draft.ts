import type { Quality } from "../../../shared/engine.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Facets } from "../leaving/facets.ts";
import type { Tagged } from "../solid/tagged.ts";
import { SURFACE } from "../tolerances.ts";
import { loosePart, modelFrame, sizes } from "./assemble.ts";
import { HUMP_SHELF, OUT } from "./hump-body.ts";
import type { HumpSurface } from "./hump-surface.ts";
import type { Layout } from "./layout.ts";
import { backMarks } from "./marks.ts";
import type { ClayScale } from "./scale.ts";
import type { ShellRow } from "./shell.ts";
import { uprightVents } from "./vents.ts";

/** What of a hump is the same for one piece and for two. */
export interface HumpDraft {
  spec: MoldSpec;
  name: string;
  quality: Quality;
  scale: ClayScale;
  surface: HumpSurface;
  layout: Layout;
  /** The hump with its shelf, before anything is put on it or taken from it. */
  core: Tagged;
  /** The clay on it. */
  drape: Tagged;
  /** What of the clay the hump touches. */
  touched: Facets;
  /** Outline of the shelf. */
  plate: [number, number][];
}

/** What a model says of a hump besides its parts. */
export function humpModel({ spec, name, quality, scale, layout, drape, touched, surface }: HumpDraft) {
  return {
    ...modelFrame(name, spec, scale, layout.wall, SURFACE[quality]),
    press: "closed" as const,
    ...sizes(drape, roomIn(touched, surface), spec, scale, true),
    vessel: loosePart("vessel", "vessel", drape),
  };
}

/** The room in the clay to its brim, mm³: what the hump fills. */
function roomIn({ positions: p, triangles: t }: Facets, { rings }: HumpSurface): number {
  // Σ p·(q×r)/6 over a closed surface: the clay's facets look into it, the mouth lies level at its height.
  let six = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    six +=
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
  }
  const { points, z } = rings[rings.length - 1];
  const mouth = points.reduce((sum, { x, y }, i) => {
    const next = points[(i + 1) % points.length];
    return sum + (x * next.y - next.x * y) / 2;
  }, 0);
  return (mouth * z) / 3 - six / 6;
}

/** Holes from the flat under the pot's base right through the hump, so that air gets in as the clay is lifted. */
export function humpVents(
  { spec, surface, layout }: HumpDraft,
  keep?: (x: number, y: number) => boolean,
): Tagged[] {
  if (!spec.vents) return [];
  const [{ points, z, us }] = surface.rings;
  const c = surface.grid.form.centre(z);
  const turn = 2 * Math.PI;
  const angles: number[] = [];
  for (const { x, y } of points) {
    const angle = Math.atan2(y - c.y, x - c.x);
    const last = angles.at(-1);
    angles.push(
      last === undefined ? angle : Math.max(last, angle + turn * Math.round((last - angle) / turn)),
    );
  }
  const row: ShellRow = {
    angles: Float64Array.from(angles),
    radii: Float64Array.from(points, ({ x, y }) => Math.hypot(x - c.x, y - c.y)),
    us: Float64Array.from(us),
  };
  return uprightVents(row, c, spec.vents, z, layout.height + HUMP_SHELF, spec.call, keep);
}

/** The inscription on the underside of the shelf, where it is widest. */
export function shelfMarks(
  line: string,
  loops: readonly (readonly (readonly [number, number])[])[],
  bed: number,
  spec: MoldSpec,
): Tagged[] {
  return backMarks(line, loops, (x, y) => ({ at: [x, y, bed], axis: OUT, side: [1, 0, 0] }), spec.call);
}
