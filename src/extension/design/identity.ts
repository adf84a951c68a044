import * as vscode from "vscode";
import { existsSync } from "node:fs";
import { realpath } from "node:fs/promises";
import { dirname, join, relative, resolve } from "node:path";

/** A design is a file `*.mold.ts` on a disk that this extension host can reach. */
export function isDesign(uri: vscode.Uri): boolean {
  return uri.scheme === "file" && uri.path.endsWith(".mold.ts");
}

/** `octagon-beaker` of `…/octagon-beaker.mold.ts`. */
export function designName(uri: vscode.Uri): string {
  return (uri.path.split("/").pop() ?? "").replace(/\.mold\.ts$/, "");
}

/**
 * The folder that a design's imports may not leave: its workspace folder; without one the nearest
 * folder above with `slabwright.json`, `package.json` or `.git`; else its own.
 */
function rootFolder(uri: vscode.Uri): string {
  const workspace = vscode.workspace.getWorkspaceFolder(uri);
  if (workspace) return workspace.uri.fsPath;
  const own = dirname(uri.fsPath);
  for (let folder = own; ; folder = dirname(folder)) {
    if (["slabwright.json", "package.json", ".git"].some((name) => existsSync(join(folder, name))))
      return folder;
    if (dirname(folder) === folder) return own;
  }
}

/**
 * Paths of one design on both sides: the editor names files as they were opened, the engine by
 * where links lead.
 */
export class Paths {
  readonly #shown: string;
  readonly #real: string;
  /** The design's file, links resolved. */
  readonly entry: string;

  private constructor(shown: string, real: string, entry: string) {
    this.#shown = shown;
    this.#real = real;
    this.entry = entry;
  }

  static async of(uri: vscode.Uri): Promise<Paths> {
    const root = rootFolder(uri);
    const real = await realpath(root);
    return new Paths(root, real, join(real, relative(root, uri.fsPath)));
  }

  get root(): string {
    return this.#real;
  }

  /** A folder as a maker names it: absolute, or relative to the design root. */
  folder(named: string): string {
    return resolve(this.#shown, named);
  }

  /** The engine's name of a file, or undefined when the file is outside the design root. */
  toEngine(uri: vscode.Uri): string | undefined {
    if (uri.scheme !== "file") return undefined;
    const inside = relative(this.#shown, uri.fsPath);
    return inside.startsWith("..") || resolve(inside) === inside ? undefined : join(this.#real, inside);
  }

  toEditor(file: string): vscode.Uri {
    const inside = relative(this.#real, file);
    const known = !inside.startsWith("..") && resolve(inside) !== inside;
    return vscode.Uri.file(known ? join(this.#shown, inside) : file);
  }
}
