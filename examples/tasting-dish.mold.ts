// A shallow dish with rounded corners for small tastes, in a mold of one piece: the slab is laid in
// and pressed, a board goes on the rim, all is turned over and the mold lifted off.
// Fired it is 132 mm long, 104 mm wide and 30 mm high.
import { cutter, loft, mold, profile, shrink, split } from "slabwright";

const dish = loft([
  profile.rounded({ width: 92, depth: 64, corner: 26 }).at(0),
  profile.rounded({ width: 118, depth: 90, corner: 34 }).at(11),
  profile.rounded({ width: 132, depth: 104, corner: 38 }).at(30),
]);

export default mold(shrink(dish, 0.125), {
  slab: 6,
  seams: split.whole(),
  base: "closed",
  vents: { size: 1.5, spacing: 30 },
  cutters: [cutter.base()],
});
