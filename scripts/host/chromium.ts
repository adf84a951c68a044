import { access, constants } from "node:fs/promises";
import { delimiter, join } from "node:path";
import { runCommand } from "./command.ts";

const names = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome"];

async function onPath(name: string): Promise<string | undefined> {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    const file = join(folder, name);
    try {
      await access(file, constants.X_OK);
      return file;
    } catch {
      continue;
    }
  }
  return undefined;
}

export async function findChromium(): Promise<string | undefined> {
  const named = process.env.SLABWRIGHT_CHROMIUM;
  if (named) return named;
  for (const name of names) {
    const file = await onPath(name);
    if (file) return file;
  }
  return undefined;
}

/**
 * A Chromium to run, installed from Debian's packages when there is none and this is root on
 * Debian; `SLABWRIGHT_CHROMIUM` names another. Where none can be had: the reason.
 */
export async function ensureChromium(): Promise<{ path: string } | { missing: string }> {
  const found = await findChromium();
  if (found) return { path: found };
  const aptGet = await onPath("apt-get");
  if (!aptGet) return { missing: "no Chromium on the PATH, and no apt-get to install one" };
  if (process.getuid?.() !== 0)
    return { missing: "no Chromium on the PATH; install it with: sudo apt-get install chromium" };
  try {
    await runCommand(aptGet, ["update"]);
    await runCommand(aptGet, ["install", "-y", "--no-install-recommends", "chromium"], {
      env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
    });
  } catch (error) {
    return { missing: `Chromium could not be installed: ${String(error)}` };
  }
  const installed = await findChromium();
  return installed ? { path: installed } : { missing: "apt-get installed no Chromium" };
}
