import type { CallId } from "../../../shared/place.ts";
import { DEFAULT_HAND } from "./hand.ts";
import type { Workshop } from "./workshop.ts";

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
  /** The value of `call` was made of those of `from`; those of no call (-1) are passed over. */
  made(call: CallId, from: readonly CallId[]): void;
  /** A `param` call; gives the value to use, the override or the code's own. */
  param(record: ParamRecord): number;
  /** A file that a call names, beside the file in which the call is written. */
  read(call: CallId, path: string): FileBeside;
  /** What the workshop keeps. */
  readonly workshop: Workshop;
}

/** A workshop that keeps nothing. */
export const NO_WORKSHOP: Workshop = Object.freeze({
  file: null,
  printers: new Map(),
  clays: new Map(),
  hand: DEFAULT_HAND,
  defaults: {},
});

/** A file's bytes and its absolute path; or why it is not to be had, as the rest of a sentence. */
export type FileBeside = { file: string; bytes: Uint8Array } | { fault: string };

/** Hears nothing: for calls of our own, and for the kit outside of any evaluation. */
export const SILENT: Recorder = {
  call: () => -1,
  made: () => undefined,
  param: (record) => record.value,
  read: () => ({ fault: "there is no design that it could stand beside" }),
  workshop: NO_WORKSHOP,
};
let current: Recorder = SILENT;

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
  return withRecorder({ ...SILENT, workshop: current.workshop }, work);
}

/** What the workshop of the design under way keeps. */
export function keptWorkshop(): Workshop {
  return current.workshop;
}

/** Reads a file that a call names; it takes part in the design from then on. */
export function readBeside(call: CallId, path: string): FileBeside {
  return current.read(call, path);
}

export function recordCall(name: string): CallId {
  return current.call(name);
}

/**
 * Tells what a value was made of, so that the picture can show what a call went into. Each kit
 * call that takes kit values says so once they are checked: `recordMade(call, [body.call])`.
 */
export function recordMade(call: CallId, from: readonly CallId[]): void {
  current.made(call, from);
}

export function recordParam(record: ParamRecord): number {
  return current.param(record);
}
