import { existsSync, renameSync } from "node:fs";
import { mkdir, open, readdir, readFile, rm, rmdir, unlink } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { filesIn, isDropping, listedFiles, MANIFEST } from "./folder.ts";

/** How often a swap is tried when another export of the same design gets in between. */
const SWAP_ATTEMPTS = 5;

/** Written beside the folder it will replace, so that moving it is one rename on one disk. */
export interface Staging {
  /** Absolute; empty at first. */
  folder: string;
  /** Writes a file, path inside the folder with `/`, and waits until it is on the disk. */
  write(path: string, bytes: Uint8Array): Promise<void>;
  /** What is on the disk now. */
  read(path: string): Promise<Uint8Array>;
  /** Puts the folder in the place of `target`, whole. */
  commit(): Promise<void>;
  /** Takes everything back. */
  discard(): Promise<void>;
}

/**
 * A place to write an export that becomes `target` all at once. Until `commit` the target is not
 * touched, whatever ends the process; what killed runs left beside it is cleaned up here. Node can
 * not exchange two folders in one call, so `commit` moves the old one aside and the new one in,
 * back to back; a run that dies between the two leaves the old one whole beside its place and the
 * next run, by `cleanUp`, puts it back.
 */
export async function stage(target: string): Promise<Staging> {
  await mkdir(dirname(target), { recursive: true });
  await cleanUp(target);
  const number = stagings++;
  const folder = besides(target, number, "new");
  await mkdir(folder);
  return {
    folder,
    async write(path, bytes) {
      const file = join(folder, path);
      await mkdir(dirname(file), { recursive: true });
      const handle = await open(file, "wx");
      try {
        await handle.writeFile(bytes);
        await handle.sync();
      } finally {
        await handle.close();
      }
    },
    read: (path) => readFile(join(folder, path)),
    async commit() {
      await syncFolders(folder);
      const old = swap(folder, target, besides(target, number, "old"));
      await syncFolder(dirname(target));
      if (old) await removeExport(old);
    },
    discard: () => rm(folder, { recursive: true, force: true }),
  };
}

/**
 * Takes away what runs that no longer live left beside `target`: half-written folders go, and an
 * export that was moved aside comes back when its place is empty.
 */
export async function cleanUp(target: string): Promise<void> {
  const prefix = `.${basename(target)}.`;
  for (const entry of await readdir(dirname(target))) {
    if (!entry.startsWith(prefix)) continue;
    const match = /^(\d+)-(\d+)-\d+\.slabwright-(new|old)$/.exec(entry.slice(prefix.length));
    if (!match || isAlive(Number(match[1]), Number(match[2]))) continue;
    const left = join(dirname(target), entry);
    try {
      if (match[3] === "new") await rm(left, { recursive: true, force: true });
      else if (existsSync(target)) await removeExport(left);
      else renameSync(left, target);
    } catch (error) {
      // Gone in the meantime: another export of this design cleans up as well.
      if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
    }
  }
}

/** Moves `folder` to `target`, and gives where the previous `target` now lies: `old`, or null if there was none. */
function swap(folder: string, target: string, old: string): string | null {
  let movedAside = false;
  for (let attempt = 0; ; attempt++) {
    if (existsSync(target)) {
      renameSync(target, old);
      movedAside = true;
    }
    try {
      renameSync(folder, target);
      return movedAside ? old : null;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      const taken = code === "ENOTEMPTY" || code === "EEXIST" || code === "EPERM";
      if (taken && !movedAside && attempt < SWAP_ATTEMPTS) continue;
      if (movedAside && !existsSync(target)) renameSync(old, target);
      throw error;
    }
  }
}

/** Removes the files that a previous export lists, and the folders that this leaves empty. Anything else in it stays. */
async function removeExport(folder: string): Promise<void> {
  const listed = new Set([MANIFEST, ...((await listedFiles(folder)) ?? []).map((file) => file.path)]);
  // The manifest last: a run that dies in between leaves a folder that still says what is in it.
  const present = (await filesIn(folder)).filter((path) => listed.has(path) && path !== MANIFEST);
  for (const path of [...present, ...(listed.size > 1 ? [MANIFEST] : [])]) await unlink(join(folder, path));
  await removeEmpty(folder);
}

async function removeEmpty(folder: string): Promise<boolean> {
  let empty = true;
  const entries = await readdir(folder, { withFileTypes: true });
  for (const entry of entries) {
    if (entry.isDirectory()) empty = (await removeEmpty(join(folder, entry.name))) && empty;
    else if (!isDropping(entry.name)) empty = false;
  }
  if (!empty) return false;
  for (const entry of entries) if (!entry.isDirectory()) await unlink(join(folder, entry.name));
  await rmdir(folder);
  return true;
}

/** When this process began: a container hands out the same process numbers again. */
const BEGAN = Math.round(performance.timeOrigin);

let stagings = 0;

function besides(target: string, number: number, kind: "new" | "old"): string {
  return join(dirname(target), `.${basename(target)}.${process.pid}-${BEGAN}-${number}.slabwright-${kind}`);
}

function isAlive(pid: number, began: number): boolean {
  if (pid === process.pid) return began === BEGAN;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: it lives and belongs to someone else.
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

async function syncFolders(folder: string): Promise<void> {
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    if (entry.isDirectory()) await syncFolders(join(folder, entry.name));
  }
  await syncFolder(folder);
}

async function syncFolder(folder: string): Promise<void> {
  // Windows does not open folders.
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
