/** Puts what the host tests need where they look for it: a Chromium and a VS Code server. */
import { ensureChromium } from "./host/chromium.ts";
import { ensureCodeServer } from "./host/codeServer.ts";

const tools = { Chromium: await ensureChromium(), "VS Code server": await ensureCodeServer() };
for (const [name, tool] of Object.entries(tools)) {
  console.log("path" in tool ? `${name}: ${tool.path}` : `${name} is missing: ${tool.missing}`);
  if ("missing" in tool) process.exitCode = 1;
}
