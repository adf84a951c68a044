import { basename } from "node:path";
import type { Place } from "../../../shared/place.ts";
import type { PreviewMold, Spot, ToPreview } from "../../../shared/preview.ts";
import { heldSentence } from "../design/sliders.ts";
import type { DesignState } from "../design/state.ts";

function spotOf({ file, line, column }: Place): Spot {
  return { file, line, column, label: `${basename(file)}:${line}` };
}

/** The state of a design, with its molds as they are packed for the page. */
export function showMessage(
  state: DesignState,
  molds: PreviewMold[] | undefined,
): Extract<ToPreview, { type: "show" }> {
  const problem = state.trialProblem ?? state.problem;
  return {
    type: "show",
    build: state.build,
    molds,
    findings: state.findings.map(({ code, severity, message, place, mold, part, at, places }) => {
      return { code, severity, message, spot: spotOf(place), mold, part, at: places ?? (at ? [at] : []) };
    }),
    params: state.params.map(({ place, ...param }) => ({ ...param, spot: spotOf(place) })),
    paramsHeld: state.problem && heldSentence(),
    calls: state.calls.flatMap(({ call, name, chain }) =>
      chain.length > 0 ? [{ call, name, spot: spotOf(chain[0]) }] : [],
    ),
    problem: problem && { message: problem.message, spot: spotOf(problem.place) },
  };
}
