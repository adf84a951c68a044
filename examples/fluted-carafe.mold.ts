// A carafe for the tasting room: a fluted belly that turns a little as it rises into a plain neck.
// Fired it stands 190 mm high. Each of its three parts is pressed on its back, then the mold is
// closed and strapped, and the base is put in last, through the open foot.
import { cutter, key, loft, mold, profile, shrink, split } from "slabwright";

const flutes = (diameter: number, amplitude: number) => profile.wave({ diameter, waves: 12, amplitude });

const carafe = loft([
  flutes(84, 1.6).at(0),
  flutes(106, 1.6).turn(5).at(45),
  flutes(96, 1.6).turn(9).at(95),
  flutes(56, 0).turn(13).at(145),
  flutes(52, 0).turn(15).at(165),
  flutes(60, 0).turn(16).at(190),
]);

export default mold(shrink(carafe, 0.12), {
  slab: 6,
  seams: split({ parts: 3, at: "corners" }),
  keys: key({ shape: "dome" }),
  base: "open",
  press: "parts",
  cutters: [cutter.base()],
});
