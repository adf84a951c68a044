import { Console } from "node:console";
import { Writable } from "node:stream";
import * as vm from "node:vm";
import { keepErrorFrames } from "./stack.ts";

/**
 * A fresh set of JavaScript's own globals with a `console`, for one evaluation. What a design
 * does to `Array.prototype` or `Error` ends with it, and cannot reach the kit or the recording
 * of calls. It keeps evaluations apart; it does not keep a malicious program in.
 */
export interface Realm {
  compile(body: string, file: string): (taken: object) => Record<string, unknown>;
  /** JSON of this realm's own objects. */
  parseJson(text: string): unknown;
}

export function createRealm(log: (line: string) => void): Realm {
  // An ordinary global object; the contextified kind asks the host at each use of `Math`.
  const context: vm.Context = vm.createContext(
    (vm.constants as unknown as { DONT_CONTEXTIFY?: object } | undefined)?.DONT_CONTEXTIFY ?? {},
    { name: "design" },
  );
  const realmError = vm.runInContext("Error", context) as ErrorConstructor;
  keepErrorFrames(realmError);
  Object.defineProperty(context, "console", {
    value: lineConsole(log),
    writable: true,
    configurable: true,
  });
  return {
    // A function body and not a module: modules are never freed. `compileFunction` rather than
    // `new Function`: it takes the file's name and adds no text of its own before the body.
    compile: (body, file) =>
      vm.compileFunction(body, [], { filename: file, lineOffset: -1, parsingContext: context }) as (
        taken: object,
      ) => Record<string, unknown>,
    parseJson: vm.runInContext("JSON.parse", context) as (text: string) => unknown,
  };
}

const MOST_LINES = 200;
const LONGEST_LINE = 2000;

/** Counts lines and stops passing them on after 200; `close` tells how many were left out since it last did. */
export class LogLines {
  readonly #write: (line: string) => void;
  #count = 0;
  #told = 0;

  constructor(write: (line: string) => void) {
    this.#write = write;
  }

  add(line: string): void {
    if (++this.#count > MOST_LINES) return;
    this.#write(line.length > LONGEST_LINE ? line.slice(0, LONGEST_LINE) + "…" : line);
  }

  close(): void {
    const leftOut = this.#count - MOST_LINES - this.#told;
    if (leftOut <= 0) return;
    this.#told += leftOut;
    this.#write(`… and ${leftOut} more lines`);
  }
}

/** Node's own console, writing lines. Values of the design are shown without running code of theirs. */
function lineConsole(log: (line: string) => void): Console {
  const stream = new Writable({
    decodeStrings: false,
    write(chunk: string, _encoding, done) {
      for (const line of chunk.replace(/\n$/, "").split("\n")) log(line);
      done();
    },
  });
  return new Console({
    stdout: stream,
    stderr: stream,
    colorMode: false,
    inspectOptions: { customInspect: false, getters: false, depth: 4 },
  });
}
