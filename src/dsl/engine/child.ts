/** The engine process: the maker's code runs here and nowhere else. */
import { englishSentence } from "./findings.ts";
import { packages } from "./packages.ts";
import { computeBuild, computeExport } from "./pipeline.ts";
import { serve } from "./serve.ts";

const plainDesign = `import { loft, mold, profile, shrink } from "slabwright";
const ring = (diameter: number) => profile.polygon({ sides: 6, acrossFlats: diameter, corner: 4 });
export default mold(shrink(loft([ring(60).at(0), ring(80).at(80)]), 0.12));
`;

serve({ packages, computeBuild, computeExport, sentence: englishSentence, plainDesign });
