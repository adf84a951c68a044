import { existsSync, readFileSync, realpathSync, statSync } from "node:fs";
import { basename, dirname, isAbsolute, join, relative, sep } from "node:path";
import { withoutMark } from "../source/index.ts";

/** The path with its links resolved, also of a file that is not there yet. */
export function resolveLinks(path: string): string {
  if (existsSync(path)) return realpathSync(path);
  const parent = dirname(path);
  return parent === path ? path : join(resolveLinks(parent), basename(path));
}

export function isInside(folder: string, path: string): boolean {
  const way = relative(folder, path);
  return way !== ".." && !way.startsWith(".." + sep) && !isAbsolute(way);
}

/** The files of one evaluation: unsaved texts before the disk. */
export class SourceFiles {
  /** Links resolved. */
  readonly root: string;
  readonly #overlays = new Map<string, string>();

  constructor(root: string, overlays: Readonly<Record<string, string>>) {
    this.root = resolveLinks(root);
    for (const [path, text] of Object.entries(overlays)) this.#overlays.set(resolveLinks(path), text);
  }

  isFile(real: string): boolean {
    return this.#overlays.has(real) || (existsSync(real) && statSync(real).isFile());
  }

  /** Throws what the file system throws. */
  read(real: string): string {
    return withoutMark(this.#overlays.get(real) ?? readFileSync(real, "utf8"));
  }

  /** The same for a file that need not be text. */
  readBytes(real: string): Uint8Array {
    const unsaved = this.#overlays.get(real);
    return unsaved === undefined ? readFileSync(real) : new TextEncoder().encode(unsaved);
  }

  /** Bytes of a file, without reading it. */
  sizeOf(real: string): number {
    return this.#overlays.get(real)?.length ?? statSync(real).size;
  }
}
