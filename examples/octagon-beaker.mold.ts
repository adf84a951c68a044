// An eight-sided beaker for the tasting room: straight sides, four parts, seams on its corners.
// Fired it stands 104 mm high, 80 mm across the flats at the lip.
import { cutter, key, loft, mold, profile, shrink, split } from "slabwright";

const foot = profile.polygon({ sides: 8, acrossFlats: 62, corner: 4 });
const lip = profile.polygon({ sides: 8, acrossFlats: 80, corner: 8 });
const beaker = loft([foot.at(0), lip.at(104)], { side: "straight" });

export default mold(shrink(beaker, 0.125), {
  slab: 6,
  seams: split({ parts: 4, at: "corners" }),
  keys: key({ shape: "cone" }),
  cutters: [cutter.base()],
});
