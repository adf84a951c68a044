import { join } from "node:path";
import { exportedMolds } from "../../../src/dsl/engine/molds.ts";
import { packages } from "../../../src/dsl/engine/packages.ts";
import { evaluate } from "../../../src/dsl/evaluate/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";

const folder = join(import.meta.dirname, "../../../examples");

/** The molds of an example, as its design exports them. */
export function exampleMolds(name: string): { name: string; mold: Mold }[] {
  const entry = join(folder, `${name}.mold.ts`);
  const { design, problem } = evaluate({ entry, root: folder, overlays: {}, overrides: {}, packages });
  if (!design) throw new Error(`${name} does not run: ${problem?.message}`);
  const exported = exportedMolds(design.value, design.design);
  if (exported.kind !== "molds") throw new Error(`${name} exports no mold`);
  return exported.molds;
}

/** The one mold of an example. */
export const exampleMold = (name: string): Mold => exampleMolds(name)[0].mold;
