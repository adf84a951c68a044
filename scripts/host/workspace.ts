import { cp, mkdir } from "node:fs/promises";
import { join } from "node:path";

const root = join(import.meta.dirname, "..", "..");

/** A folder of the maker's kind: copies of the examples and of the designs that tests need besides. */
export async function makeWorkspace(folder: string, fixtures = true): Promise<void> {
  await mkdir(folder, { recursive: true });
  await cp(join(root, "examples"), folder, { recursive: true });
  if (fixtures) await cp(join(root, "tests", "fixtures", "workspace"), folder, { recursive: true });
}
