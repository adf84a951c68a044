/**
 * All tests, in the order in which they say most for their time: types and lint, units, outside
 * readers on the built command's files, the extension in a real VS Code. Stops at the first stage
 * that fails. Names of stages as arguments run those alone.
 */
import { spawnSync } from "node:child_process";
import { delimiter, join } from "node:path";

const root = join(import.meta.dirname, "..");

const stages: { name: string; command: string }[] = [
  { name: "build", command: "npm run -s build" },
  { name: "types", command: "npm run -s typecheck" },
  { name: "lint", command: "npm run -s lint" },
  { name: "unit", command: "vitest run" },
  { name: "outside", command: "vitest run --config tests/outside/vitest.config.ts" },
  { name: "page", command: "vitest run --config tests/page/vitest.config.ts" },
  { name: "host", command: "npm run -s test:host" },
];

const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !stages.some((stage) => stage.name === name));
if (unknown.length > 0) {
  console.error(`No stage ${unknown.join(", ")}. There are ${stages.map(({ name }) => name).join(", ")}.`);
  process.exit(2);
}

const times: string[] = [];
for (const { name, command } of stages) {
  if (asked.length > 0 && !asked.includes(name)) continue;
  console.log(`\n── ${name}`);
  const start = performance.now();
  const { status } = spawnSync(command, {
    cwd: root,
    stdio: "inherit",
    shell: true,
    env: {
      ...process.env,
      PATH: [join(root, "node_modules/.bin"), process.env["PATH"] ?? ""].join(delimiter),
    },
  });
  times.push(`${name} ${((performance.now() - start) / 1000).toFixed(0)} s`);
  if (status !== 0) {
    console.error(`\n${name} failed. ${times.join(", ")}`);
    process.exit(1);
  }
}
console.log(`\nAll passed. ${times.join(", ")}`);
