/** The engine process: the maker's code runs here and nowhere else. */
import { englishSentence } from "./findings.ts";
import { packages } from "./packages.ts";
import { computeBuild, computeExport } from "./pipeline.ts";
import { serve } from "./serve.ts";

serve({ packages, computeBuild, computeExport, sentence: englishSentence });
