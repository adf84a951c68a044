import * as vscode from "vscode";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { BuildResult } from "../../../shared/engine.ts";
import { EngineHost } from "../../../src/dsl/engine/host.ts";

/** A file of the installed extension. */
export function installed(...path: string[]): string {
  const extension = vscode.extensions.getExtension("slabwright.slabwright");
  if (!extension) throw new Error("the extension is not installed");
  return join(extension.extensionPath, ...path);
}

/** What an engine that has never seen the design before makes of this text. */
export async function freshBuild(
  uri: vscode.Uri,
  text: string,
  enginePath = installed("dist", "engine.mjs"),
): Promise<BuildResult> {
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  const host = new EngineHost({ enginePath, standby: false });
  try {
    return await host.build({
      entry: uri.fsPath,
      root: folder.uri.fsPath,
      overlays: { [uri.fsPath]: text },
      overrides: {},
      quality: "idle",
      have: [],
      fixes: false,
    });
  } finally {
    host.dispose();
  }
}

/** Digests of every surface, as the preview lists them. */
export function digestsOf({ molds }: BuildResult): string[] {
  return molds.flatMap((mold) => mold.surfaces.map(({ digest }) => digest));
}

/** Resident memory of the engine processes that the extension has started, MB by process id. Linux. */
export async function engineMemory(): Promise<Map<number, number>> {
  const found = new Map<number, number>();
  const engine = installed("dist", "engine");
  for (const name of await readdir("/proc")) {
    if (!/^\d+$/.test(name)) continue;
    try {
      const [command, status] = await Promise.all(
        ["cmdline", "status"].map((file) => readFile(join("/proc", name, file), "utf8")),
      );
      const parent = Number(/^PPid:\s*(\d+)/m.exec(status)?.[1]);
      if (parent !== process.pid || !command.includes(engine)) continue;
      found.set(Number(name), Number(/^VmRSS:\s*(\d+)/m.exec(status)?.[1]) / 1024);
    } catch (error) {
      // It ended while it was looked at.
      if (!["ENOENT", "ESRCH"].includes((error as NodeJS.ErrnoException).code ?? "")) throw error;
    }
  }
  return found;
}
