import { loadKernel } from "../solid/kernel.ts";
import type { Parts } from "./engine.ts";
import { englishSentence } from "./findings.ts";
import { packages } from "./packages.ts";
import { computeBuild, computeExport } from "./pipeline.ts";

/** What the engine leans on as it ships. */
export const parts: Parts = {
  packages,
  ready: loadKernel,
  computeBuild,
  computeExport,
  sentence: englishSentence,
  plainDesign: `import { loft, mold, profile, shrink } from "slabwright";
const ring = (diameter: number) => profile.polygon({ sides: 6, acrossFlats: diameter, corner: 4 });
export default mold(shrink(loft([ring(60).at(0), ring(80).at(80)]), 0.12));
`,
};
