import type { CallId } from "../../../shared/place.ts";

export interface ParamRecord {
  call: CallId;
  name: string;
  value: number;
  min: number;
  max: number;
  step: number;
}

/** What an evaluation hears from the kit while the design runs. */
export interface Recorder {
  /** A kit call begins; `name` as the maker writes it, such as `profile.circle`. */
  call(name: string): CallId;
  /** A `param` call; gives the value to use, the override or the code's own. */
  param(record: ParamRecord): number;
}

const silent: Recorder = { call: () => -1, param: (record) => record.value };
let current: Recorder = silent;

/** Runs `work` with `recorder` listening. Evaluations do not nest and do not await. */
export function withRecorder<T>(recorder: Recorder, work: () => T): T {
  const before = current;
  current = recorder;
  try {
    return work();
  } finally {
    current = before;
  }
}

/** Runs kit calls of our own, such as a default, that the maker did not write. */
export function unrecorded<T>(work: () => T): T {
  return withRecorder(silent, work);
}

export function recordCall(name: string): CallId {
  return current.call(name);
}

export function recordParam(record: ParamRecord): number {
  return current.param(record);
}
