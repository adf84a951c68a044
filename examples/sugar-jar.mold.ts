// A sugar jar and its lid. The lid is a cap that stands over the jar's neck: its inside is the neck
// and a gap, its outside one slab more. Both are turned; the sliders change the fired sizes.
import { cutter, key, loft, mold, param, profile, shrink, split } from "slabwright";

const height = param("height", 96, { min: 70, max: 130, step: 1 });
const belly = param("belly", 100, { min: 80, max: 120, step: 1 });
// Per side: 1 % of the diameter, 1 mm at the least (common practice).
const gap = param("lid gap", 1.2, { min: 0.7, max: 3, step: 0.1 });

const slab = 6;
const shrinkage = 0.12;
const thick = slab * (1 - shrinkage);
const circle = (diameter: number) => profile.circle({ diameter });

const neck = belly - 22;
const jar = loft([
  circle(belly - 18).at(0),
  circle(belly).at(0.4 * height),
  circle(belly - 4).at(0.68 * height),
  circle(neck).at(height - 14),
  circle(neck - 2.4).at(height),
]);

// Pressed upside down, like a dish: its top lies at z = 0 and its edge is the rim.
const edge = neck + 2 * gap + 2 * thick;
// The last 14 mm flare evenly, by 4.7°, for a mold of one piece to come off.
const lid = loft([
  circle(edge - 20).at(0),
  circle(edge - 7).at(3.5),
  circle(edge - 2.3).at(8),
  circle(edge - 1.15).at(15),
  circle(edge).at(22),
]);

export default {
  jar: mold(shrink(jar, shrinkage), {
    slab,
    seams: split({ parts: 2 }),
    keys: key({ shape: "cone" }),
    cutters: [cutter.base()],
  }),
  lid: mold(shrink(lid, shrinkage), { slab, seams: split.whole(), vents: { spacing: 35 } }),
};
