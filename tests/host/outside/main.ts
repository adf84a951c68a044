import { exporting } from "./exporting.ts";
import { findings } from "./findings.ts";
import { looking } from "./looking.ts";
import { restoring } from "./restoring.ts";
import type { OutsideTest } from "./suite.ts";
import { trust } from "./trust.ts";

/** In the order in which they run. */
export const outsideTests: OutsideTest[] = [looking, findings, exporting, restoring, trust];
