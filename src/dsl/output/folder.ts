import { createHash } from "node:crypto";
import type { Stats } from "node:fs";
import { lstat, readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { manifestSchema, type ManifestFile } from "../../../shared/manifest.ts";

export const MANIFEST = "manifest.json";

/** Files that file managers leave in any folder they show; nobody's work. */
const DROPPINGS = new Set([".DS_Store", "Thumbs.db", "desktop.ini"]);

/** What lies where an export is to go. */
export type Occupant =
  | { kind: "nothing" }
  /** A previous export, every file as it was written. */
  | { kind: "export"; files: ManifestFile[] }
  /** Something that is not ours to clear; `files` are paths inside it, the first few. */
  | { kind: "maker"; reason: "not-folder" | "no-manifest" | "added" | "changed"; files: string[] };

/**
 * Looks at a folder before an export replaces it. Whatever the previous manifest does not list, or
 * lists with other bytes, is the maker's own. An empty folder is nothing.
 */
export async function occupantOf(folder: string): Promise<Occupant> {
  for (let look = 1; ; look++) {
    const before = await lstat(folder).catch(absent);
    try {
      const found = await occupantNow(folder, before);
      const after = await lstat(folder).catch(absent);
      if (before?.ino === after?.ino || look === LOOKS) return found;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "ENOENT" || look === LOOKS) throw error;
    }
  }
}

/** How often a folder is looked at that another export takes the place of meanwhile. */
const LOOKS = 5;

async function occupantNow(folder: string, stat: Stats | null): Promise<Occupant> {
  if (!stat) return { kind: "nothing" };
  if (!stat.isDirectory()) return { kind: "maker", reason: "not-folder", files: [] };
  const present = await filesIn(folder);
  if (present.length === 0) return { kind: "nothing" };
  const listed = await listedFiles(folder);
  if (!listed) return { kind: "maker", reason: "no-manifest", files: present };
  const known = new Map(listed.map((file) => [file.path, file]));
  const added = present.filter((path) => path !== MANIFEST && !known.has(path));
  if (added.length > 0) return { kind: "maker", reason: "added", files: added };
  const changed: string[] = [];
  for (const path of present) {
    const file = known.get(path);
    if (file && sha256(await readFile(join(folder, path))) !== file.sha256) changed.push(path);
  }
  if (changed.length > 0) return { kind: "maker", reason: "changed", files: changed };
  return { kind: "export", files: listed };
}

/** Every file below a folder by its path with `/`, sorted, droppings left out. Links count as files and are not followed. */
export async function filesIn(folder: string): Promise<string[]> {
  const found: string[] = [];
  const visit = async (inside: string): Promise<void> => {
    for (const entry of await readdir(join(folder, inside), { withFileTypes: true })) {
      const path = inside === "" ? entry.name : `${inside}/${entry.name}`;
      if (entry.isDirectory()) await visit(path);
      else if (!DROPPINGS.has(entry.name)) found.push(path);
    }
  };
  await visit("");
  return found.sort();
}

/** The files that the manifest in a folder lists, or null when there is no manifest of ours. */
export async function listedFiles(folder: string): Promise<ManifestFile[] | null> {
  const text = await readFile(join(folder, MANIFEST), "utf8").catch(absent);
  if (text === null) return null;
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    // A manifest that does not parse is not ours: the folder is then the maker's.
    if (error instanceof SyntaxError) return null;
    throw error;
  }
  // Only the list is asked for, so that exports of other versions can be replaced too.
  const parsed = manifestSchema.shape.files.safeParse((json as { files?: unknown } | null)?.files);
  return parsed.success ? parsed.data : null;
}

export function isDropping(name: string): boolean {
  return DROPPINGS.has(name);
}

export function sha256(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

function absent(error: unknown): null {
  if ((error as NodeJS.ErrnoException).code === "ENOENT") return null;
  throw error;
}
