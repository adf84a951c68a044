import { basename, dirname, isAbsolute, join } from "node:path";
import type { FileBeside } from "../kit/record.ts";
import { isInside, resolveLinks, type SourceFiles } from "./files.ts";

/** No drawing or mesh that a design names is larger, bytes: reading it would outlast typing. */
const LARGEST = 64 * 1024 * 1024;

/**
 * Reads a file that a design names, relative to the file in which the name is written. The same
 * rules as for imports: nothing outside of the root is looked at. Each path is added to `seen`,
 * also one that is not there: its appearance changes the answer.
 */
export function readBeside(files: SourceFiles, from: string, path: string, seen: Set<string>): FileBeside {
  if (isAbsolute(path) || /^[a-z]+:/i.test(path))
    return { fault: "a file is named from the design's own folder, such as “outline.svg”" };
  const file = join(dirname(from), path);
  const real = resolveLinks(join(dirname(resolveLinks(from)), path));
  if (!isInside(files.root, real))
    return { fault: `it lies outside of ${basename(files.root)}, the folder that holds this design` };
  seen.add(file);
  if (!files.isFile(real)) return { fault: "there is no such file" };
  const size = files.sizeOf(real);
  if (size > LARGEST)
    return {
      fault: `it has ${Math.round(size / 1e6)} MB; a design reads files up to ${Math.round(LARGEST / 1e6)} MB`,
    };
  try {
    return { file, bytes: files.readBytes(real) };
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : String(error);
    return { fault: `it cannot be read (${code})` };
  }
}
