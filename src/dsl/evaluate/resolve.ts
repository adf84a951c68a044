import { basename, dirname, join, relative } from "node:path";
import type { MessageArgs } from "../../../shared/finding.ts";
import type { ProblemCode } from "../../../shared/problems.ts";
import { isInside, resolveLinks, type SourceFiles } from "./files.ts";

/** What an import specifier leads to. */
export type Resolution =
  | { kind: "package" }
  | { kind: "file"; real: string; file: string; json: boolean }
  /** `looked` are the files whose appearance would change the answer. */
  | { kind: "refused"; code: ProblemCode; args: MessageArgs; looked: string[] };

/** Where a file is, with links resolved, and under which path its maker knows it. */
export interface Location {
  real: string;
  file: string;
}

export function resolveImport(files: SourceFiles, importer: Location, specifier: string): Resolution {
  if (specifier === "slabwright" || /^@jscad\/modeling(\/|$)/.test(specifier)) return { kind: "package" };
  const refused = (code: ProblemCode, args: MessageArgs, looked: string[] = []): Resolution => ({
    kind: "refused",
    code,
    args: { specifier, ...args },
    looked,
  });
  if (!/^\.\.?(\/|$)/.test(specifier)) return refused("import-package", {});
  const plain = join(dirname(importer.real), specifier);
  const candidates = /\.(ts|json)$/.test(specifier)
    ? [plain]
    : /\.js$/.test(specifier)
      ? [plain.replace(/\.js$/, ".ts")]
      : [`${plain}.ts`, join(plain, "index.ts")];
  const known = candidates.map((one) => asKnown(importer, one));
  // What lies outside is not even looked for.
  if (!isInside(files.root, resolveLinks(candidates[0])))
    return refused("import-outside", { root: basename(files.root) }, known);
  const index = candidates.findIndex((one) => files.isFile(resolveLinks(one)));
  if (index < 0) {
    if (files.isFile(resolveLinks(plain))) return refused("import-kind", {}, known);
    const looked = candidates.map((one) => relative(dirname(importer.real), one)).join(", ");
    return refused("import-not-found", { looked }, known);
  }
  const real = resolveLinks(candidates[index]);
  if (!isInside(files.root, real)) return refused("import-outside", { root: basename(files.root) }, known);
  return { kind: "file", real, file: known[index], json: /\.json$/.test(candidates[index]) };
}

/** The path as seen from the importer as its maker knows it, where that leads to the same file. */
function asKnown(importer: Location, path: string): string {
  const known = join(dirname(importer.file), relative(dirname(importer.real), path));
  return resolveLinks(known) === resolveLinks(path) ? known : path;
}
