import { basename } from "node:path";
import type { MoldView } from "../../../shared/engine.ts";
import type { Place } from "../../../shared/place.ts";
import type { PreviewMold, PreviewSurface, Spot, ToPreview } from "../../../shared/preview.ts";
import type { DesignState } from "../design/design.ts";

function spotOf({ file, line, column }: Place): Spot {
  return { file, line, column, label: `${basename(file)}:${line}` };
}

/** A posted array takes its whole buffer along: the page gets copies of just what it needs. */
function surfaceFor(surface: MoldView["surfaces"][number], held: ReadonlySet<string>): PreviewSurface {
  const { name, role, digest, apart, geometry } = surface;
  if (held.has(digest) || geometry === undefined) return { name, role, digest, apart };
  return {
    name,
    role,
    digest,
    apart,
    geometry: {
      ...geometry,
      positions: geometry.positions.slice(),
      triangles: geometry.triangles.slice(),
      edges: geometry.edges.slice(),
    },
  };
}

/** The state of a design for a page that holds the geometry named in `held`. */
export function showMessage(
  state: DesignState,
  held: ReadonlySet<string>,
): Extract<ToPreview, { type: "show" }> {
  const molds = state.molds?.map((view): PreviewMold => {
    return { ...view, surfaces: view.surfaces.map((surface) => surfaceFor(surface, held)) };
  });
  return {
    type: "show",
    build: state.build,
    molds,
    findings: state.findings.map(({ code, severity, message, place, mold, part, at, places }) => {
      return { code, severity, message, spot: spotOf(place), mold, part, at: places ?? (at ? [at] : []) };
    }),
    params: state.params.map(({ place, ...param }) => ({ ...param, spot: spotOf(place) })),
    calls: state.calls.flatMap(({ call, name, chain }) =>
      chain.length > 0 ? [{ call, name, spot: spotOf(chain[0]) }] : [],
    ),
    problem: state.problem && { message: state.problem.message, spot: spotOf(state.problem.place) },
  };
}
