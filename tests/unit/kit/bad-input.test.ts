import { mkdirSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, expect, it } from "vitest";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import type { Engine as EngineOfCommands } from "../../../src/dsl/cli/engine.ts";
import { slabwright, workshop } from "../cli/fixture.ts";
import { withImports } from "./evaluated.ts";

const engine = new Engine(parts, () => undefined);
let id = 0;
const engineOfCommands: EngineOfCommands = {
  build: (request) => engine.build({ type: "build", id: ++id, ...request }),
  exportDesign: (request) => engine.export({ type: "export", id: ++id, ...request }),
};

interface Row {
  name: string;
  /** The mistake stands on line 2, right behind the imports. */
  text: string;
  message: RegExp;
  line?: number;
  column?: number;
  files?: Record<string, string>;
}

const pot = (mold: string) => `const pot = revolve([[30, 0], [40, 80]]);\nexport default ${mold};`;
const inMold = (options: string) => ({ text: pot(`mold(shrink(pot, 0.1), ${options})`), line: 3 });
const round = "profile.circle({ diameter: 70 })";
const tall = (sections: string, options = "") =>
  `export default mold(shrink(loft(${sections}${options}), 0.1));`;
const svg = (shape: string) => `<svg viewBox="0 0 100 100">${shape}</svg>`;

const trimmed = (path: string) =>
  `const cup = revolve([[40, 0], [46, 90]]);
export default mold(shrink(trim(sweep(profile.ellipse({ width: 12, depth: 8 }), ${path}), cup), 0.1), { slab: "solid", seams: split.halves({ plane: "xz" }) });`;

const rows: Row[] = [
  // Outlines.
  {
    name: "no diameter",
    text: `profile.circle({});`,
    message: /profile\.circle: diameter is missing\. It is at least 1 and at most 2000 mm/,
  },
  { name: "no options", text: `profile.circle();`, message: /diameter is missing/ },
  {
    name: "a diameter that is not a number",
    text: `profile.circle({ diameter: NaN });`,
    message: /diameter must be a finite number, got NaN/,
    column: 28,
  },
  {
    name: "an endless diameter",
    text: `profile.circle({ diameter: 1 / 0 });`,
    message: /must be a finite number, got Infinity/,
  },
  {
    name: "a diameter below nothing",
    text: `profile.circle({ diameter: -70 });`,
    message: /diameter is -70; allowed is at least 1/,
    column: 28,
  },
  {
    name: "a diameter of nothing",
    text: `profile.circle({ diameter: 0 });`,
    message: /diameter is 0; allowed/,
  },
  {
    name: "a diameter of 8 m",
    text: `profile.circle({ diameter: 8000 });`,
    message: /diameter is 8000; allowed is at least 1 and at most 2000 mm/,
  },
  {
    name: "a text",
    text: `profile.circle({ diameter: "70" as any });`,
    message: /must be a finite number, got “70”/,
  },
  {
    name: "a wrong key",
    text: `profile.circle({ radius: 35 } as any);`,
    message: /there is no option “radius”\. Allowed: diameter\.$/,
    column: 18,
  },
  {
    name: "two sides",
    text: `profile.polygon({ sides: 2, acrossFlats: 60 });`,
    message: /sides is 2; allowed is a whole number at least 3/,
  },
  {
    name: "half a side",
    text: `profile.polygon({ sides: 6.5, acrossFlats: 60 });`,
    message: /sides is 6\.5; allowed is a whole number/,
  },
  {
    name: "a fillet larger than the outline",
    text: `profile.polygon({ sides: 6, acrossFlats: 60, corner: 40 });`,
    message: /corner is 40; allowed is at least 0 and at most 30 mm/,
  },
  {
    name: "waves that fold",
    text: `profile.wave({ diameter: 70, waves: 12, amplitude: 30 });`,
    message: /amplitude is 30; allowed/,
  },
  {
    name: "a power of nothing",
    text: `profile.superellipse({ width: 60, depth: 40, power: 0 });`,
    message: /power is 0; allowed is at least 1\.2 and at most 20/,
  },
  {
    name: "a radius that is no number",
    text: `profile.polar(() => undefined as any);`,
    message: /the radius at 0° is missing|must be a finite number/,
  },
  {
    name: "a spiral",
    text: `profile.polar((angle) => 30 + angle / 10);`,
    message: /the outline does not close: the radius is 30 mm at 0° and 66 mm at 360°/,
  },
  {
    name: "an error of the maker's own in a radius",
    text: `profile.polar((angle) => (angle as any).squared());`,
    message: /TypeError: angle\.squared is not a function/,
  },
  {
    name: "a star too sharp to press",
    text: tall(`[0, 50].map((z) => profile.polar((a) => 40 + 38 * Math.cos((5 * a * Math.PI) / 180)).at(z))`),
    message: /will drag on the clay: its draft is 0°/,
  },
  {
    name: "one point",
    text: `profile.spline([[10, 0]]);`,
    message: /an outline needs at least 3 points, this has 1/,
  },
  {
    name: "a spline that crosses itself",
    text: `profile.spline([[0, 0], [60, 40], [60, 0], [0, 40], [-20, 20]]);`,
    message: /the curve crosses itself near/,
  },
  {
    name: "points in space",
    text: `profile.spline([[0, 0, 1], [1, 0, 1], [0, 1, 1]] as any);`,
    message: /an array of points \[x, y\]/,
  },
  {
    name: "grown past collapse",
    text: `${round}.grow(-40);`,
    message: /grow: -40 mm is more than this outline has/,
  },
  { name: "scaled by nothing", text: `${round}.scale(0);`, message: /factor is 0; allowed is above 0/ },
  {
    name: "turned by a word",
    text: `${round}.turn("half" as any);`,
    message: /degrees must be a finite number, got “half”/,
  },

  // Drawings.
  {
    name: "a drawing that is not there",
    text: `profile.svg("leaf.svg");`,
    message: /“leaf\.svg” cannot be used: there is no such file/,
    column: 13,
  },
  {
    name: "a drawing outside of the folder",
    text: `profile.svg("../leaf.svg");`,
    message: /lies outside of/,
  },
  {
    name: "a drawing anywhere on the disk",
    text: `profile.svg("/etc/hosts");`,
    message: /named from the design's own folder/,
  },
  {
    name: "a drawing on the net",
    text: `profile.svg("https://a.example/leaf.svg");`,
    message: /named from the design's own folder/,
  },
  {
    name: "a drawing of words",
    text: `profile.svg("leaf.svg");`,
    files: { "leaf.svg": "leaf" },
    message: /does not read as XML/,
  },
  {
    name: "a drawing without a closed path",
    text: `profile.svg("leaf.svg");`,
    files: { "leaf.svg": svg(`<path d="M0 0L9 9"/>`) },
    message: /there is no closed path in it/,
  },
  {
    name: "a drawing that crosses itself",
    text: `profile.svg("leaf.svg");`,
    files: { "leaf.svg": svg(`<path d="M0 0L40 40L40 0L0 41Z"/>`) },
    message: /crosses itself near/,
  },
  {
    name: "a drawing of nothing",
    text: `profile.svg("leaf.svg");`,
    files: { "leaf.svg": "" },
    message: /cannot be used: it is not a drawing/,
  },

  // Bodies.
  {
    name: "one section",
    text: tall(`[${round}.at(0)]`),
    message: /sections must be an array of at least two outlines \.at\(z\), got an array of 1/,
  },
  {
    name: "an outline without a height",
    text: tall(`[${round}.at(0), ${round} as any]`),
    message: /section 2 must be an outline \.at\(z\)/,
  },
  {
    name: "sections upside down",
    text: tall(`[${round}.at(0), ${round}.at(80), ${round}.at(40)]`),
    message: /section 3 is at z 40, not above section 2 at z 80/,
  },
  {
    name: "two sections at one height",
    text: tall(`[${round}.at(0), ${round}.at(0)]`),
    message: /section 2 is at z 0, not above/,
  },
  {
    name: "a pot that floats",
    text: tall(`[${round}.at(5), ${round}.at(80)]`),
    message: /the lowest section is at z 5; a vessel stands on z = 0/,
  },
  {
    name: "a height below the board",
    text: tall(`[${round}.at(-5), ${round}.at(80)]`),
    message: /z is -5; allowed is at least 0/,
  },
  {
    name: "a height that is no number",
    text: tall(`[${round}.at(0), ${round}.at(NaN)]`),
    message: /at: z must be a finite number/,
  },
  {
    name: "a side nobody knows",
    text: tall(`[${round}.at(0), ${round}.at(80)]`, `, { side: "curvy" as any }`),
    message: /side must be “smooth” or “straight”, got “curvy”/,
  },
  {
    name: "a turned body through its axis",
    text: `revolve([[30, 0], [0, 80]]);`,
    message: /point 2 lies on the axis/,
  },
  {
    name: "a turned body with a level step",
    text: `revolve([[30, 0], [40, 20], [30, 20], [30, 60]]);`,
    message: /points 2 and 3 are both at z 20/,
  },
  {
    name: "a section of what is hollow",
    text: `section(sweep(profile.circle({ diameter: 12 }), [[-30, 0, 0], [-20, 0, 60], [20, 0, 60], [30, 0, 0]]), 20);`,
    message: /section: this body's section at z 20 has 2 borders/,
  },
  {
    name: "more than a solid can hold",
    text: `fit(sweep(profile.circle({ diameter: 60 }), [[0, 0, 0], [0, 0, 90]]), { capacity: 950000, slab: 6, clay: 0.1 });`,
    message: /fit: no size up to 1000 mm holds 950000 mL with a slab of 6 mm/,
  },
  {
    name: "the inside of a mesh that is open",
    text: `inside(solid("open.stl"), { slab: 6, clay: 0.1 });`,
    files: {
      "open.stl":
        "solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 90 0 0\nvertex 0 90 0\nendloop\nendfacet\nendsolid x\n",
    },
    message: /inside: open\.stl is not closed, so it holds no clay/,
  },
  {
    name: "a section above the rim",
    text: `section(revolve([[30, 0], [40, 80]]), 90);`,
    message: /z is 90; allowed is at least 0 and at most 80 mm/,
  },
  {
    name: "a slab that fills the pot",
    text: `inside(revolve([[6, 0], [7, 80]]), { slab: 8, clay: 0.1 });`,
    message: /leaves no room/,
  },
  {
    name: "a capacity that cannot be",
    text: `fit(revolve([[1, 0], [1, 900]]), { capacity: 500000, slab: 8, clay: 0.1 });`,
    message: /no size up to 2000 mm holds 500000 mL/,
  },
  {
    name: "a body of nothing",
    text: `shrink(undefined as any, 0.1);`,
    message: /the first argument must be a body, such as loft\(…\), got undefined/,
  },

  // Solids.
  {
    name: "a mesh that is not there",
    text: `export default mold(shrink(solid("knob.stl"), 0.1));`,
    message: /“knob\.stl” cannot be used: there is no such file/,
  },
  {
    name: "an empty mesh",
    text: `export default mold(shrink(solid("knob.stl"), 0.1));`,
    files: { "knob.stl": "" },
    message: /“knob\.stl” is not an STL file that can be read/,
  },
  {
    name: "an open mesh",
    text: `export default mold(shrink(solid("knob.stl"), 0.1), { slab: "solid", seams: split.halves({ plane: "xz" }) });`,
    files: {
      "knob.stl":
        "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 40 0 0\nvertex 0 40 0\nendloop\nendfacet\n" +
        "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 40 0 0\nvertex 0 0 40\nendloop\nendfacet\nendsolid a\n",
    },
    message: /knob\.stl is not closed, so it holds n/,
  },
  {
    name: "a mesh that was cut off",
    text: `export default mold(shrink(solid("knob.stl"), 0.1));`,
    files: { "knob.stl": `${"\0".repeat(80)}\x09\0\0\0` },
    message: /is not an STL file that can be read: it has 84 bytes where its facets take 534/,
  },
  {
    name: "a mesh in words",
    text: `export default mold(shrink(solid("knob.stl"), 0.1));`,
    files: {
      "knob.stl":
        "solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex one 0 0\nvertex 0 40 0\nendloop\nendfacet\nendsolid a\n",
    },
    message: /knob\.stl has a corner at NaN; allowed are ±2000 mm/,
  },
  {
    name: "10 MB of text that is no mesh",
    text: `export default mold(shrink(solid("knob.stl"), 0.1));`,
    files: { "knob.stl": `solid ${"clay ".repeat(2_000_000)}` },
    message: /“knob\.stl” is not an STL file that can be read: it has no facets/,
  },
  {
    name: "a mesh outside of the folder",
    text: `export default mold(shrink(solid("../knob.stl"), 0.1));`,
    message: /“\.\.\/knob\.stl” cannot be used: it lies outside of/,
  },
  {
    name: "a solid of a number",
    text: `solid(7 as any);`,
    message: /the first argument must be a solid of @jscad\/modeling/,
  },
  {
    name: "a sweep along one point",
    text: `sweep(${round}, [[0, 0, 0]]);`,
    message: /path must be an array of at least/,
  },
  {
    name: "a handle that does not reach the pot",
    text: trimmed("[[80, 0, 70], [110, 0, 60], [110, 0, 40], [80, 0, 30]]"),
    message: /trim: the body does not reach what trims it, so that nothing is cut/,
    line: 3,
  },
  {
    name: "a handle inside the pot",
    text: trimmed("[[5, 0, 70], [20, 0, 60], [20, 0, 40], [5, 0, 30]]"),
    message: /trim: nothing of the body lies outside what trims it/,
    line: 3,
  },
  {
    name: "a bar through the pot",
    text: trimmed("[[-80, 0, 45], [80, 0, 45]]"),
    message: /trim: it leaves 2 pieces apart, and a mold shapes one/,
    line: 3,
  },
  {
    name: "a trim by nothing",
    text: `trim(revolve([[30, 0], [40, 80]]), undefined as any);`,
    message: /the second argument must be a body/,
  },

  // Clay.
  {
    name: "shrinkage in per cent",
    text: pot(`mold(shrink(pot, 12.5))`),
    line: 3,
    message: /12\.5, which looks like per cent\. Write it as a fraction: 0\.125/,
  },
  {
    name: "clay that grows",
    text: pot(`mold(shrink(pot, -0.1))`),
    line: 3,
    message: /the shrinkage is -0\.1; allowed is at least 0 and below 0\.3/,
  },
  {
    name: "clay that halves",
    text: pot(`mold(shrink(pot, 0.5))`),
    line: 3,
    message: /the shrinkage is 0\.5; allowed/,
  },
  {
    name: "a clay that nobody keeps",
    text: pot(`mold(shrink(pot, "white"))`),
    line: 3,
    message: /no slabwright\.json beside or above this design names a clay/,
  },
  {
    name: "a clay that says nothing",
    text: `clay({ name: "white" });`,
    message: /says nothing of shrinkage/,
  },
  {
    name: "a clay said twice",
    text: `clay({ name: "white", total: 0.1, drying: 0.05, firing: 0.05 });`,
    message: /more than once/,
  },
  {
    name: "bars that grow",
    text: `clay({ name: "white", bars: [{ wet: 100, fired: 110 }] });`,
    message: /bar 1/,
  },

  // The mold.
  {
    name: "a slab of 0.6",
    ...inMold(`{ slab: 0.6 }`),
    message: /mold: slab is 0\.6; allowed is at least 1 and at most 40 mm/,
  },
  {
    name: "a slab in words",
    ...inMold(`{ slab: "thick" as any }`),
    message: /slab must be a finite number, got “thick”/,
  },
  { name: "a wall of nothing", ...inMold(`{ wall: 0 }`), message: /wall is 0; allowed is at least 0\.3/ },
  {
    name: "a wrong option",
    ...inMold(`{ slabs: 6 } as any`),
    message: /there is no option “slabs”\. Did you mean “slab”\? Allowed: slab, wall/,
  },
  {
    name: "a hump of three parts",
    ...inMold(`{ side: "inside", seams: split({ parts: 3 }) }`),
    message: /a hump is of one piece or of two, not of 3/,
  },
  {
    name: "a hump for solid clay",
    ...inMold(`{ side: "inside", slab: "solid" }`),
    message: /a slab is laid over a hump; solid clay needs a mold around it/,
  },
  {
    name: "a base cutter for a hump",
    ...inMold(`{ side: "inside", seams: split.whole(), cutters: [cutter.base()] }`),
    message: /leave cutter\.base out/,
  },
  {
    name: "round keys in a hump",
    ...inMold(`{ side: "inside", keys: key({ shape: "dome" }) }`),
    message: /only fixed ridges register them/,
  },
  {
    name: "a side that is neither",
    ...inMold(`{ side: "top" }`),
    message: /side must be/,
  },
  {
    name: "an outline for a body",
    text: `export default mold(${round} as any);`,
    message: /got an outline\.?$/,
  },
  {
    name: "a height of the path that is no number",
    text: `export default mold(shrink(sweep(${round}, [[0, 0, 0], [0, 0, "9"] as any, [9, 0, 20]]), 0.1));`,
    message: /z of point 2 must be a finite number, got “9”/,
  },
  {
    name: "cutters that are not there yet",
    ...inMold(`{ cutters: [cutter.panels()] }`),
    message: /^cutter\.panels: it is not in this version of Slabwright yet\. Leave it out/,
  },
  {
    name: "a wrong option inside",
    ...inMold(`{ flange: { widht: 16 } as any }`),
    message: /there is no option “flange\.widht”\. Did you mean “width”\? Allowed: width, thickness/,
  },
  {
    name: "a rim wider than its flange",
    ...inMold(`{ flange: { width: 9 }, rim: { width: 12 } }`),
    message: /a rim 12 mm wide does not fit inside a flange 9 mm wide/,
  },
  {
    name: "a printer that nobody keeps",
    ...inMold(`{ printer: "attic" }`),
    message: /no slabwright\.json beside or above this design names a printer/,
  },
  {
    name: "a layer thicker than the nozzle",
    ...inMold(`{ printer: { nozzle: 0.4, layer: 0.5 } }`),
    message: /printer\.layer is 0\.5; allowed/,
  },
  {
    name: "a printer whose faces stand a whole millimetre proud",
    ...inMold(`{ printer: { spread: 1 } }`),
    message: /printer\.spread is 1; allowed is at least 0 and at most 0\.5\./,
  },
  {
    name: "a spread below nothing",
    ...inMold(`{ printer: { spread: -0.1 } }`),
    message: /printer\.spread is -0\.1; allowed/,
  },
  {
    name: "a spread that is not a number",
    ...inMold(`{ printer: { spread: 0 / 0 } }`),
    message: /printer\.spread/,
  },
  {
    name: "a bed of two sides",
    ...inMold(`{ printer: { bed: [200, 200] as any } }`),
    message: /printer\.bed must be \[x, y, z\] in mm/,
  },
  {
    name: "a name with a slash",
    ...inMold(`{ name: "pots/beaker" }`),
    message: /name must be letters, digits, - and _/,
  },
  {
    name: "a name that leads out",
    ...inMold(`{ name: ".." }`),
    message: /name must be letters, digits, - and _/,
  },
  {
    name: "a cutter that is none",
    ...inMold(`{ cutters: ["base"] as any }`),
    message: /cutters must be an array of cutter/,
  },
  {
    name: "seams that are none",
    ...inMold(`{ seams: 4 as any }`),
    message: /seams must be split\(…\), got 4/,
  },
  {
    name: "cross seams that are no list",
    ...inMold(`{ seams: split({ levels: 40 }) }`),
    message: /split: levels must be an array of heights, such as \[62\], got 40/,
  },
  {
    name: "a cross seam that is not a number",
    ...inMold(`{ seams: split({ levels: [NaN] }) }`),
    message: /split: levels must be a finite number, got NaN/,
  },
  {
    name: "a cross seam at the foot",
    ...inMold(`{ seams: split({ levels: [4] }) }`),
    message: /split: levels is 4; allowed is at least 20/,
  },
  {
    name: "cross seams from the top down",
    ...inMold(`{ seams: split({ levels: [50, 25] }) }`),
    message: /levels rise from the foot, 20 mm or more apart, and 25 follows 50/,
  },
  {
    name: "a cross seam at the rim",
    ...inMold(`{ seams: split({ levels: [70] }) }`),
    message:
      /the body is 80 mm high, and a cross seam at 70 leaves the last ring 10 mm; keep 20 mm below the rim/,
  },
  {
    name: "a cross seam of a hump",
    ...inMold(`{ side: "inside", seams: split({ levels: [40] }) }`),
    message: /a hump is of one height and leaves as a whole; leave levels out/,
  },
  {
    name: "a cross seam of a sweep",
    text: `export default mold(shrink(sweep(${round}, [[0, 0, 0], [0, 0, 90]]), 0.1), { seams: split({ levels: [40] }) });`,
    message: /cross seams lie between the level sections of a loft, and this body has none; leave levels out/,
  },
  {
    name: "one part",
    ...inMold(`{ seams: split({ parts: 1 }) }`),
    message: /a mold of one part has no seam; write split\.whole\(\)/,
  },
  {
    name: "nine parts",
    ...inMold(`{ seams: split({ parts: 9 }) }`),
    message: /parts is 9; allowed is a whole number at least 1 and at most 8/,
  },
  {
    name: "three seams for four parts",
    ...inMold(`{ seams: split({ parts: 4, at: [0, 90, 180] }) }`),
    message: /4 parts need 4 seams, at has 3/,
  },
  {
    name: "corners of a round pot",
    ...inMold(`{ seams: split({ parts: 2, at: "corners" }) }`),
    message: /no corners or crests for 2 seams/,
  },
  {
    name: "a flange on a whole mold",
    ...inMold(`{ seams: split.whole(), flange: { width: 16 } }`),
    message: /a whole mold has no seams, so no flange/,
  },
  {
    name: "the mold of a mold",
    text: pot(`mold(mold(shrink(pot, 0.1)) as any)`),
    line: 3,
    message: /the first argument must be a body/,
  },
  {
    name: "a body that was never shrunk",
    text: pot(`mold(pot)`),
    line: 3,
    message: /The pot would fire too small/,
  },

  // What is exported.
  {
    name: "two molds of one name",
    text: `const pot = shrink(revolve([[30, 0], [40, 80]]), 0.1);\nexport default [mold(pot, { name: "a" }), mold(pot, { name: "a" })];`,
    line: 3,
    column: 61,
    message: /two molds of this design are called “a”/,
  },
  {
    name: "two molds that differ in capitals alone",
    text: `const pot = shrink(revolve([[30, 0], [40, 80]]), 0.1);\nexport default { jar: mold(pot), JAR: mold(pot) };`,
    line: 3,
    message: /“jar” and “JAR”/,
  },
  {
    name: "a mold kept under a path",
    text: `const pot = shrink(revolve([[30, 0], [40, 80]]), 0.1);\nexport default { "../a": mold(pot) };`,
    line: 3,
    message: /“\.\.\/a” names no files/,
  },
  { name: "nothing", text: `const pot = 1;`, message: /exports nothing/ },
  { name: "a number", text: `export default 7;`, message: /the design must be a mold/ },
  {
    name: "a body",
    text: `export default revolve([[30, 0], [40, 80]]);`,
    message: /only a mold has parts to print/,
  },

  // The text.
  { name: "a bracket left open", text: `export default mold(`, line: 3, message: /does not parse/ },
  {
    name: "an import that is not there",
    text: `import { lip } from "./parts";`,
    message: /“\.\/parts” is not there/,
  },
  { name: "an import from outside", text: `import { lip } from "../parts";`, message: /lies outside of/ },
  { name: "a package", text: `import fs from "node:fs";`, message: /“node:fs” cannot be imported/ },
  {
    name: "10 MB of text",
    text: `// ${"clay ".repeat(2_000_000)}`,
    line: 1,
    message: /10 MB of text; a design is read up to 2 MB/,
  },
];

describe("wrong input: one clear sentence on the right line, nothing written, exit status 1", () => {
  for (const { name, text, message, line = 2, column, files } of rows) {
    it(name, async () => {
      using shop = workshop({ "a/pot.mold.ts": withImports(`\n${text}\n`), "a/package.json": "{}" });
      for (const [file, content] of Object.entries(files ?? {})) {
        mkdirSync(dirname(join(shop.cwd, "a", file)), { recursive: true });
        const { writeFileSync } = await import("node:fs");
        writeFileSync(join(shop.cwd, "a", file), content);
      }
      const before = readdirSync(shop.cwd, { recursive: true }).sort();
      const { status, out, err } = await slabwright(["export", "a/pot.mold.ts"], {
        cwd: shop.cwd,
        engine: engineOfCommands,
      });
      expect(status, err).toBe(1);
      expect(out).toBe("");
      const told = /^a\/pot\.mold\.ts:(\d+):(\d+): ([a-z-]+): (.*)$/m.exec(err);
      expect(told, err.slice(0, 500)).not.toBeNull();
      expect(told![4]).toMatch(message);
      expect(Number(told![1]), err).toBe(line);
      if (column !== undefined) expect(Number(told![2]), err).toBe(column);
      expect(readdirSync(shop.cwd, { recursive: true }).sort()).toEqual(before);
    });
  }

  it("there are enough of them", () => expect(rows.length).toBeGreaterThanOrEqual(60));
});
