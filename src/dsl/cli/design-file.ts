import { existsSync, realpathSync, statSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { UsageError } from "./usage.ts";

export const DESIGN_ENDING = ".mold.ts";

/** What marks the folder that imports of a design may not leave. */
const ROOT_MARKS = ["slabwright.json", "package.json", ".git"];

export interface DesignFile {
  /** Absolute, links resolved. */
  entry: string;
  /** The nearest folder above with `slabwright.json`, `package.json` or `.git`; else the design's own. */
  root: string;
}

/** Finds a design and its root. `file` is seen from `cwd`; something that is not a design throws `UsageError`. */
export function findDesign(file: string, cwd: string): DesignFile {
  const path = resolve(cwd, file);
  if (!existsSync(path)) throw new UsageError(`There is no file ${file}.`);
  if (!path.endsWith(DESIGN_ENDING) || !statSync(path).isFile()) {
    throw new UsageError(`${file} is not a design: designs are files named something${DESIGN_ENDING}.`);
  }
  const entry = realpathSync(path);
  return { entry, root: rootOf(dirname(entry)) };
}

function rootOf(folder: string): string {
  for (let above = folder; ; above = dirname(above)) {
    if (ROOT_MARKS.some((mark) => existsSync(join(above, mark)))) return above;
    if (above === dirname(above)) return folder;
  }
}
