import type { File } from "@babel/types";
import { readCalls, type Calls } from "./calls.ts";
import { SourceError } from "./error.ts";
import { Lines } from "./lines.ts";
import { readPorts, type Ports } from "./ports.ts";
import { makeRunnable, type Runnable } from "./runnable.ts";
import { readScopes, type Scopes } from "./scopes.ts";
import { isTypeOnly, parseTree, placed, walkValues } from "./tree.ts";
import { refuseUnsupported } from "./unsupported.ts";

/** One text of a design, read once; what only messages and edits need is read when they ask. */
export class SourceModule {
  readonly text: string;
  readonly tree: File;
  readonly ports: Ports;
  readonly runnable: Runnable;
  readonly #lines: { editor?: Lines; javascript?: Lines } = {};
  #calls: Calls | undefined;
  #scopes: Scopes | undefined;

  /** Throws SourceError. The text is without a byte order mark. */
  constructor(text: string) {
    this.text = text;
    this.tree = parseTree(text);
    refuseUnsupported(this.tree);
    this.ports = readPorts(this.tree);
    this.#dropTypes();
    this.#refuseLiveExports();
    this.runnable = makeRunnable(text, this.tree, this.ports);
  }

  get lines(): Lines {
    return (this.#lines.editor ??= new Lines(this.text));
  }

  /** Lines as JavaScript counts them, for positions that come from a debugger. */
  get runLines(): Lines {
    return (this.#lines.javascript ??= new Lines(this.text, "javascript"));
  }

  get calls(): Calls {
    return (this.#calls ??= readCalls(this.text, this.tree));
  }

  get scopes(): Scopes {
    return (this.#scopes ??= readScopes(this.tree));
  }

  /** What the design exports as default; without that its last statement, or the start of the text. */
  defaultRange(): { start: number; end: number } {
    const { body } = this.tree.program;
    const given = body.find((one) => one.type === "ExportDefaultDeclaration" && !isTypeOnly(one.declaration));
    if (given?.type === "ExportDefaultDeclaration") return placed(given.declaration);
    const last = body.findLast((one) => !isTypeOnly(one) && one.type !== "ImportDeclaration");
    return last ? placed(last) : { start: 0, end: 0 };
  }

  /**
   * The narrowest thing to show for a stack frame: the call or construction made there, or the
   * innermost node that begins there, or the innermost one around it.
   */
  rangeAt(offset: number): { start: number; end: number } {
    const call = this.calls.at(offset);
    if (call && this.calls.isMadeAt(call, offset))
      return { start: this.calls.readStart(call), end: call.end };
    let begins: { start: number; end: number } | undefined;
    let around: { start: number; end: number } | undefined;
    walkValues(this.tree.program, (node) => {
      const { start, end } = placed(node);
      if (end <= start || node.type === "Program") return;
      if (start === offset) begins = { start, end };
      else if (start < offset && offset < end) around = { start, end };
    });
    const start = Math.min(offset, this.text.length);
    return begins ?? around ?? { start, end: start };
  }

  /** A name that is imported but stands in types only; it need not exist when the program runs. */
  isUsedAsType(local: string): boolean {
    return (this.scopes.top.get(local)?.uses.length ?? 0) === 0;
  }

  /** `export { Name }` may name a type; it is not there when the program runs. */
  #dropTypes(): void {
    if (!this.tree.program.body.some((one) => one.type === "ExportNamedDeclaration" && one.specifiers.length))
      return;
    for (const [exported, local] of this.ports.exports)
      if (!this.scopes.top.has(local)) this.ports.exports.delete(exported);
  }

  /** Exports are taken over once, when the module has run; a later change would go unseen. */
  #refuseLiveExports(): void {
    if (this.ports.exports.size === 0) return;
    for (const local of this.ports.exports.values()) {
      const binding = this.scopes.top.get(local);
      if (!binding?.changedLater) continue;
      const { start, end } = placed(binding.declared);
      throw new SourceError("no-live-export", { name: local }, start, end);
    }
  }
}

/** Texts start after a byte order mark, as they do in an editor. */
export function withoutMark(text: string): string {
  return text.startsWith("\uFEFF") ? text.slice(1) : text;
}
