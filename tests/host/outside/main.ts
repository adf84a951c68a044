import { accessibility } from "./accessibility.ts";
import { exportCancelled, exporting } from "./exporting.ts";
import { findings } from "./findings.ts";
import { lostContext, noWebGl } from "./graphics.ts";
import { help } from "./help.ts";
import { keyboard } from "./keyboard.ts";
import { looking } from "./looking.ts";
import { numbers } from "./numbers.ts";
import { picking } from "./picking.ts";
import { restoring } from "./restoring.ts";
import type { OutsideTest } from "./suite.ts";
import { themesAndSizes } from "./themes.ts";
import { trust } from "./trust.ts";

/** In the order in which they run. */
export const outsideTests: OutsideTest[] = [
  looking,
  findings,
  help,
  picking,
  numbers,
  themesAndSizes,
  keyboard,
  accessibility,
  lostContext,
  noWebGl,
  exporting,
  exportCancelled,
  restoring,
  trust,
];
