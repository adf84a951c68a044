/** Exports two versions of a design in turn until it is killed; tells its parent after the first. */
import { exportMolds } from "../../../src/dsl/output/export.ts";
import { box, part, tubeMold } from "./fixture.ts";

const versions = [tubeMold(), tubeMold({ extra: [part("rail", "rail", box(20, 20, 6))] })];
for (let n = 0; ; n++) {
  await exportMolds({
    design: "tube",
    source: "/pots/tube.mold.ts",
    molds: [versions[n % 2]],
    findings: [],
    out: process.argv[2],
    formats: [],
  });
  if (n === 0) process.send?.("exported");
}
