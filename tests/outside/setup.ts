import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestProject } from "vitest/node";
import { installTools } from "./tools.ts";

declare module "vitest" {
  interface ProvidedContext {
    /** A folder for what all files of tests look at; gone when they are through. */
    exports: string;
  }
}

/** Brings the outside readers here. What cannot be had is named, and in CI that is a failure. */
export default function setup(project: TestProject): () => void {
  const missing = installTools();
  if (missing.length > 0) {
    const what = missing.map(({ name, packages }) => `${name} (Debian: ${packages.join(", ")})`).join(", ");
    const message = `Unchecked, because they cannot be had here: ${what}`;
    if (process.env["CI"] === "true") throw new Error(message);
    console.warn(message);
  }
  const folder = mkdtempSync(join(tmpdir(), "slabwright-outside-"));
  project.provide("exports", folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
