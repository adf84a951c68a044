// A handle for the octagon beaker, of solid clay in two halves that part in its own plane. Its ends
// are trimmed to the beaker's wall, so the mold's rims there lead the knife to a fit.
import { clay, key, loft, mold, profile, shrink, split, sweep, trim } from "slabwright";

const foot = profile.polygon({ sides: 8, acrossFlats: 62, corner: 4 }).turn(22.5);
const lip = profile.polygon({ sides: 8, acrossFlats: 80, corner: 8 }).turn(22.5);
const beaker = loft([foot.at(0), lip.at(104)], { side: "straight" });

const grip = profile.ellipse({ width: 17, depth: 11 });
const handle = sweep(
  grip,
  [
    [36, 0, 84],
    [56, 0, 87],
    [68, 0, 68],
    [61, 0, 44],
    [33, 0, 31],
  ],
  { taper: 0.85 },
);

// A bow tightens on the plastic inside it as it dries, so it is taken out soft and stiffens on a board.
const stoneware = clay({ name: "stoneware", total: 0.125, release: 0.15 });

export default mold(shrink(trim(handle, beaker), stoneware), {
  slab: "solid",
  seams: split.halves({ plane: "xz" }),
  keys: key({ shape: "dome" }),
});
