import { existsSync } from "node:fs";
import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { cacheFolder, plainEnvironment } from "./cache.ts";
import { runCommand } from "./command.ts";

const version = "4.139.1";

/**
 * The folder of a VS Code server (1.139.1), installed once into the cache without running any
 * install script: nothing is compiled. A half-done install is never taken for a whole one.
 */
export async function ensureCodeServer(): Promise<{ path: string } | { missing: string }> {
  const folder = join(cacheFolder(), `code-server-${version}`);
  const inner = (base: string) => join(base, "node_modules", "code-server", "lib", "vscode");
  if (existsSync(join(folder, "complete"))) return { path: inner(folder) };

  const making = `${folder}.${process.pid}`;
  await mkdir(making, { recursive: true });
  const npm = (cwd: string, ...args: string[]) =>
    runCommand("npm", ["install", "--ignore-scripts", "--no-audit", "--no-fund", ...args], {
      cwd,
      env: plainEnvironment(),
    });
  try {
    await writeFile(join(making, "package.json"), JSON.stringify({ private: true }));
    await npm(making, `code-server@${version}`);
    await npm(inner(making), "--omit=dev");
    await npm(join(inner(making), "extensions"), "--omit=dev");
    await writeFile(join(making, "complete"), "");
    await rm(folder, { recursive: true, force: true });
    await mkdir(dirname(folder), { recursive: true });
    await rename(making, folder);
  } catch (error) {
    await rm(making, { recursive: true, force: true });
    return { missing: `the VS Code server could not be installed: ${String(error)}` };
  }
  return { path: inner(folder) };
}
