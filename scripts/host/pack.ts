import { join } from "node:path";
import { runCommand } from "./command.ts";

/** Packs the extension into `target` without the packer's talk; gives the line that sums it up. */
export async function packQuietly(target: string): Promise<string> {
  const output = await runCommand(process.execPath, [join(import.meta.dirname, "..", "package.ts"), target]);
  return output.trim().split("\n").at(-1) ?? "";
}
