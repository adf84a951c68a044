/** Designs that bring the parts that no example has, by name: pegs, rails, a floor, ridges, glued pieces. */
export const designs: Readonly<Record<string, string>> = {
  "loose-pegs": `import { cutter, key, loft, mold, profile, shrink, split } from "slabwright";
const ring = profile.polygon({ sides: 6, acrossFlats: 70, corner: 6 });
const mug = loft([ring.at(0), ring.scale(1.15).at(80)], { side: "straight" });
export default mold(shrink(mug, 0.12), {
  seams: split({ parts: 3, at: "corners" }),
  keys: key({ loose: true }),
  base: "floor",
  cutters: [cutter.base(), cutter.rails()],
});
`,
  "six-ridges": `import { key, loft, mold, profile, shrink, split } from "slabwright";
const ring = profile.circle({ diameter: 110 });
const bowl = loft([ring.at(0), ring.scale(1.3).at(70)]);
export default mold(shrink(bowl, 0.1), { seams: split({ parts: 6 }), keys: key({ shape: "ridge", size: 4 }) });
`,
  "glued-plate": `import { loft, mold, profile, shrink, split } from "slabwright";
const edge = profile.rounded({ width: 190, depth: 150, corner: 40 });
const plate = loft([edge.scale(0.75).at(0), edge.at(34)]);
export default mold(shrink(plate, 0.1), { seams: split.whole({ glue: 4 }), vents: { spacing: 50 } });
`,
};
