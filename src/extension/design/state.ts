import type { CallView, MoldView, ParamView, Quality } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import type { Place } from "../../../shared/place.ts";
import { shiftPlace, type LineEdit } from "./shift.ts";

/** When a state came about: milliseconds of this process's clock, and the engine's own stages. */
export interface Making {
  quality: Quality;
  /** The last change of what it shows. */
  touched: number;
  asked: number;
  answered: number;
  /** ms by stage, as the engine reports them. */
  engine: Record<string, number>;
}

/** What is known of a design. */
export interface DesignState {
  /** Counts up with each change of any design; 0 before the first result. */
  build: number;
  /** The last that ran, with all geometry. Undefined before the first. */
  molds: MoldView[] | undefined;
  findings: LocatedFinding[];
  params: ParamView[];
  calls: CallView[];
  problem: Problem | undefined;
  /** Why the design does not run with the number that a slider is held at. */
  trialProblem: Problem | undefined;
  /** Files that took part, by the engine's names. */
  files: ReadonlySet<string>;
  making: Making | undefined;
}

export const nothingYet: DesignState = {
  build: 0,
  molds: undefined,
  findings: [],
  params: [],
  calls: [],
  problem: undefined,
  trialProblem: undefined,
  files: new Set(),
  making: undefined,
};

/** Edits of one file in the order in which they were made. */
export interface FileEdits {
  file: string;
  edits: LineEdit[];
}

/** Keeps every place on what it was said of while the text around it changes. */
export function shiftState<T extends Partial<DesignState>>(state: T, { file, edits }: FileEdits): T {
  const at = (place: Place): Place => (place.file === file ? edits.reduce(shiftPlace, place) : place);
  const both = <P extends { place: Place; related?: Place }>(one: P): P => {
    return one.related
      ? { ...one, place: at(one.place), related: at(one.related) }
      : { ...one, place: at(one.place) };
  };
  const { findings, params, calls, problem, trialProblem } = state;
  return {
    ...state,
    ...(findings && {
      findings: findings.map((finding) => ({
        ...both(finding),
        ...(finding.notes && { notes: finding.notes.map((note) => ({ ...note, place: at(note.place) })) }),
      })),
    }),
    ...(params && { params: params.map((param) => ({ ...param, place: at(param.place) })) }),
    ...(calls && { calls: calls.map((call) => ({ ...call, chain: call.chain.map(at) })) }),
    ...(problem && { problem: both(problem) }),
    ...(trialProblem && { trialProblem: both(trialProblem) }),
  };
}
