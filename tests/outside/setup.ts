import { installTools } from "./tools.ts";

/** Brings the outside readers here. What cannot be had is named, and in CI that is a failure. */
export default function setup(): void {
  const missing = installTools();
  if (missing.length === 0) return;
  const what = missing.map(({ name, packages }) => `${name} (Debian: ${packages.join(", ")})`).join(", ");
  const message = `Unchecked, because they cannot be had here: ${what}`;
  if (process.env["CI"] === "true") throw new Error(message);
  console.warn(message);
}
