import type { Change, TextEdit } from "../../../shared/change.ts";
import type { CallView, ParamView } from "../../../shared/engine.ts";
import type { CallId, Place, Target } from "../../../shared/place.ts";
import type { ParamRecord } from "../kit/record.ts";
import {
  editsFor,
  editsOfDefault,
  isWritableNumber,
  narrowRange,
  placeOf,
  type CallSite,
  type Refusal,
} from "../source/index.ts";
import { callViews } from "./call-views.ts";
import type { LoadedModule } from "./graph.ts";
import { designName } from "./name.ts";
import type { HeardCall } from "./recorder.ts";
import type { RunFrame } from "./stack.ts";

export interface Located {
  place: Place;
  /** The outermost line that led there, when `place` lies in a helper. */
  related?: Place;
}

/** The calls of an evaluation, found again in the texts that ran. */
export class CallTable {
  readonly #modules: ReadonlyMap<string, LoadedModule>;
  readonly #heard: readonly HeardCall[];
  readonly #entry: LoadedModule;

  constructor(entry: LoadedModule, modules: ReadonlyMap<string, LoadedModule>, heard: readonly HeardCall[]) {
    this.#entry = entry;
    this.#modules = modules;
    this.#heard = heard;
  }

  get size(): number {
    return this.#heard.length;
  }

  /** The name that the kit gave the call, such as `profile.circle`. */
  nameOf(call: CallId): string | undefined {
    return this.#heard.at(call)?.name;
  }

  /** Where the call stands; undefined for one that no design made. */
  siteOf(call: CallId): CallSite | undefined {
    const frame = call >= 0 ? this.#heard.at(call)?.frames.at(0) : undefined;
    return frame && this.#siteAt(frame);
  }

  /** The call and, outwards, the calls of the design that led to it, as they stand in its texts. */
  sitesOf(call: CallId): CallSite[] {
    const frames = call >= 0 ? (this.#heard.at(call)?.frames ?? []) : [];
    return frames.flatMap((frame) => this.#siteAt(frame) ?? []);
  }

  /** The whole call, then outwards whatever led to it. */
  placesOf(call: CallId): Place[] {
    const frames = call >= 0 ? (this.#heard.at(call)?.frames ?? []) : [];
    return frames.filter((frame) => this.#modules.has(frame.file)).map((frame) => this.#placeOfFrame(frame));
  }

  /** The file and the start of the called name for each frame of the call, innermost first. */
  chainOf(call: CallId): { file: string; offset: number }[] {
    const frames = call >= 0 ? (this.#heard.at(call)?.frames ?? []) : [];
    return frames.flatMap((frame) => {
      const site = this.#siteAt(frame);
      return site ? [{ file: site.file, offset: site.module.calls.nameStart(site.call) }] : [];
    });
  }

  locate(target: Target): Located {
    const frames = target.call >= 0 ? (this.#heard.at(target.call)?.frames ?? []) : [];
    const site = frames.length > 0 ? this.#siteAt(frames[0]) : undefined;
    if (!site) return frames.length > 0 ? this.locateFrames(frames) : { place: this.defaultPlace() };
    const place = placeOf(site.file, site.module, narrowRange(site.module, site.call, target));
    return this.#withRelated(place, frames);
  }

  /** The place of a stack of the design: its innermost call, and the outermost one where that is another. */
  locateFrames(frames: readonly RunFrame[]): Located {
    const known = frames.filter((frame) => this.#modules.has(frame.file));
    return known.length === 0
      ? { place: this.defaultPlace() }
      : this.#withRelated(this.#placeOfFrame(known[0]), known);
  }

  /** Some frame lies in a file of the design. */
  knowsAny(frames: readonly RunFrame[]): boolean {
    return frames.some((frame) => this.#modules.has(frame.file));
  }

  #withRelated(place: Place, frames: readonly RunFrame[]): Located {
    if (frames.length < 2) return { place };
    const related = this.#placeOfFrame(frames[frames.length - 1]);
    return related.file === place.file && related.line === place.line ? { place } : { place, related };
  }

  /** What the design exports; without an export its last statement. */
  defaultPlace(): Place {
    const { source, file } = this.#entry;
    return placeOf(file, source, source.defaultRange());
  }

  #siteAt(frame: RunFrame): CallSite | undefined {
    const module = this.#modules.get(frame.file);
    if (!module) return undefined;
    const call = module.source.calls.at(frame.position - module.source.runnable.prologueLength);
    return call && { file: module.file, module: module.source, call };
  }

  /** The call at a frame, or the word at it where the frame is none: a throw, a getter. */
  #placeOfFrame(frame: RunFrame): Place {
    const module = this.#modules.get(frame.file);
    if (!module) return this.defaultPlace();
    const { source, file } = module;
    const offset = Math.max(0, frame.position - source.runnable.prologueLength);
    return placeOf(file, source, source.rangeAt(offset));
  }
}

/** What a run of the modules gave. */
export interface Ran {
  value: unknown;
  calls: CallTable;
  /** For each call those that its value was made of. */
  madeOf: ReadonlyMap<CallId, ReadonlySet<CallId>>;
  params: readonly ParamRecord[];
  files: readonly string[];
  /** The workshop's own settings, where there are any. */
  settings: { file: string; text: string } | null;
}

/** A design whose code has run. */
export class EvaluatedDesign {
  /** The file's name without `.mold.ts`. */
  readonly design: string;
  /** The path as it was asked for. */
  readonly entry: string;
  /** The default export. */
  readonly value: unknown;
  readonly calls: CallTable;
  readonly params: readonly ParamView[];
  /** The paths that took part; a change in any of them asks for a new evaluation. */
  readonly files: readonly string[];
  /** The text of each module by path, as it ran, and that of the workshop's settings. */
  readonly texts: ReadonlyMap<string, string>;
  readonly #modules: readonly LoadedModule[];
  readonly #ran: Ran;

  constructor(entry: LoadedModule, modules: ReadonlyMap<string, LoadedModule>, ran: Ran) {
    this.#modules = [...modules.values()];
    this.#ran = ran;
    this.design = designName(entry.file);
    this.entry = entry.file;
    this.value = ran.value;
    this.calls = ran.calls;
    this.files = ran.files;
    const texts = [...modules.values()].map((one): [string, string] => [one.file, one.source.text]);
    if (ran.settings) texts.push([ran.settings.file, ran.settings.text]);
    this.texts = new Map(texts);
    this.params = ran.params.map(({ call, name, value, min, max, step }) => ({
      name,
      value,
      min,
      max,
      step,
      place: ran.calls.locate({ call, argument: 1 }).place,
      writable: isWritable(ran.calls.siteOf(call)),
    }));
  }

  locate(target: Target): Located {
    return this.calls.locate(target);
  }

  /** The calls behind what is to be seen; `faces` are those that made faces of it. */
  callViews(faces: ReadonlySet<CallId>): CallView[] {
    const { calls, madeOf, params } = this.#ran;
    return callViews({ calls, madeOf, params, modules: this.#modules }, faces);
  }

  /** The edits that make a change to the texts that ran, or why there are none. */
  editsFor(change: Change): { edits: TextEdit[] } | { refusal: Refusal } {
    const { settings } = this.#ran;
    if (settings && change.kind === "setOption" && this.calls.nameOf(change.call) === "mold") {
      const site = this.calls.siteOf(change.call);
      const edits = site && editsOfDefault(change, site, settings);
      if (edits) return { edits };
    }
    return editsFor(change, (call) => this.calls.siteOf(call));
  }
}

function isWritable(site: CallSite | undefined): boolean {
  return site !== undefined && isWritableNumber(site.call.arguments.at(1));
}
