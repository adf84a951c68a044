import type { CallId, Target } from "../../../shared/place.ts";
import type { MessageArgs } from "../../../shared/finding.ts";
import { renderTemplate } from "../../../shared/messages.ts";
import { problemMessages, type ProblemCode } from "../../../shared/problems.ts";
import type { FileBeside, ParamRecord, Recorder } from "../kit/record.ts";
import type { Workshop } from "../kit/workshop.ts";
import { captureSites, runFrame, type RunFrame } from "./stack.ts";

/** A kit call as it was heard: its name and the design's frames, innermost first. */
export interface HeardCall {
  name: string;
  frames: RunFrame[];
}

/** A use of the kit that only the whole evaluation can judge. */
export class DesignError extends Error {
  override readonly name = "DesignError";
  readonly code: ProblemCode;
  readonly args: MessageArgs;
  readonly target: Target;

  constructor(code: ProblemCode, args: MessageArgs, target: Target) {
    super(renderTemplate(problemMessages[code], args));
    this.code = code;
    this.args = args;
    this.target = target;
  }
}

/**
 * Hears the kit while a design runs. One call is one place in the texts together with the chain
 * of places that led there: a helper called twice gives two, a loop gives one.
 */
export class CallRecorder implements Recorder {
  readonly calls: HeardCall[] = [];
  readonly params: ParamRecord[] = [];
  /** The calls that the value of a call was made of. */
  readonly madeOf = new Map<CallId, Set<CallId>>();
  readonly #ids = new Map<string, CallId>();
  readonly #isDesignFile: (file: string) => boolean;
  readonly #overrides: Readonly<Record<string, number>>;
  readonly #lineOf: (call: CallId) => number;
  readonly workshop: Workshop;
  readonly #readBeside: (file: string, path: string) => FileBeside;

  constructor(
    isDesignFile: (file: string) => boolean,
    overrides: Readonly<Record<string, number>>,
    lineOf: (call: CallId) => number,
    readBeside: (file: string, path: string) => FileBeside,
    workshop: Workshop,
  ) {
    this.workshop = workshop;
    this.#isDesignFile = isDesignFile;
    this.#overrides = overrides;
    this.#lineOf = lineOf;
    this.#readBeside = readBeside;
  }

  call(name: string): CallId {
    const frames: RunFrame[] = [];
    let chain = "";
    for (const site of captureSites()) {
      const frame = runFrame(site);
      if (!frame || !this.#isDesignFile(frame.file)) continue;
      frames.push(frame);
      chain += `${frame.position} ${frame.file}\n`;
    }
    const before = this.#ids.get(chain);
    if (before !== undefined) return before;
    const id = this.calls.length;
    this.calls.push({ name, frames });
    this.#ids.set(chain, id);
    return id;
  }

  made(call: CallId, from: readonly CallId[]): void {
    if (call < 0) return;
    let known = this.madeOf.get(call);
    if (!known) this.madeOf.set(call, (known = new Set()));
    for (const one of from) if (one >= 0) known.add(one);
  }

  param(record: ParamRecord): number {
    const before = this.params.find((one) => one.name === record.name);
    if (before && before.call !== record.call) {
      const args = { name: record.name, line: this.#lineOf(before.call) };
      throw new DesignError("param-twice", args, { call: record.call, argument: 0 });
    }
    const override = Object.hasOwn(this.#overrides, record.name) ? this.#overrides[record.name] : undefined;
    const value = override ?? record.value;
    if (!before) this.params.push({ ...record, value });
    return value;
  }

  read(call: CallId, path: string): FileBeside {
    const frame = call >= 0 ? this.calls[call].frames.at(0) : undefined;
    return frame
      ? this.#readBeside(frame.file, path)
      : { fault: "there is no design that it could stand beside" };
  }
}
