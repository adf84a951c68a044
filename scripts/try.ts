/**
 * A browser-hosted VS Code with Slabwright in it and a copy of the examples, for someone without VS
 * Code. Prints the address to open, and serves until it is stopped with Ctrl+C.
 */
import { cp, mkdir } from "node:fs/promises";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { ensureCodeServer } from "./host/codeServer.ts";
import { packQuietly } from "./host/pack.ts";
import { startServer } from "./host/server.ts";

const { values } = parseArgs({ options: { port: { type: "string" } } });
const root = join(import.meta.dirname, "..");
const folder = join(root, "out", "try");
const designs = join(folder, "designs");
await mkdir(folder, { recursive: true });
// What was changed in an earlier try is kept.
if (!existsSync(designs)) await cp(join(root, "examples"), designs, { recursive: true });

console.log("Getting the browser-hosted VS Code ready; the first time that takes about a minute…");
const codeServer = await ensureCodeServer();
if ("missing" in codeServer) {
  console.error(codeServer.missing);
  process.exit(1);
}
const vsix = join(folder, "slabwright.vsix");
await packQuietly(vsix);
const server = await startServer({
  codeServer: codeServer.path,
  data: join(folder, "server"),
  vsix,
  port: values.port === undefined ? undefined : Number(values.port),
});
console.log(`
Open this address in a browser on this machine:

  ${server.address(designs)}

Open octagon-beaker.mold.ts, then press Ctrl+K V (on a Mac Cmd+K V) for the preview.
The designs are copies, in ${designs}.
Stop with Ctrl+C.`);
for (const signal of ["SIGINT", "SIGTERM"] as const) {
  process.once(signal, () => void server.stop().then(() => process.exit(0)));
}
