import { circle } from "../outline/circle.ts";
import { ellipse } from "../outline/ellipse.ts";
import { polygon } from "../outline/polygon.ts";
import { rounded } from "../outline/rounded.ts";
import { wave } from "../outline/wave.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber, type Site } from "./options.ts";
import { LARGEST, Outline } from "./outline.ts";
import { recordCall } from "./record.ts";

const size = { min: 1, max: LARGEST, unit: "mm" } as const;

function begin(name: string): Site {
  return { name: `profile.${name}`, call: recordCall(`profile.${name}`), argument: 0 };
}

/** Outlines in plan. A corner, a crest or the start lies on +x; all are centred on the origin. */
export const profile = Object.freeze({
  /** A circle. `diameter` in mm. */
  circle(options: { diameter: number }): Outline {
    const site = begin("circle");
    const { diameter } = checkKeys(site, options, ["diameter"]);
    return new Outline(circle(checkNumber(site, "diameter", diameter, size)), site.call);
  },

  /** An ellipse. `width` along x and `depth` along y, mm. */
  ellipse(options: { width: number; depth: number }): Outline {
    const site = begin("ellipse");
    const given = checkKeys(site, options, ["width", "depth"]);
    const width = checkNumber(site, "width", given.width, size);
    const depth = checkNumber(site, "depth", given.depth, size);
    return new Outline(ellipse(width, depth)!, site.call);
  },

  /**
   * A regular polygon of 3 to 60 `sides`. `acrossFlats` is twice the apothem, mm; `corner` the
   * radius of its rounded corners, mm, 0 for sharp ones.
   */
  polygon(options: { sides: number; acrossFlats: number; corner?: number }): Outline {
    const site = begin("polygon");
    const given = checkKeys(site, options, ["sides", "acrossFlats", "corner"]);
    const sides = checkNumber(site, "sides", given.sides, { min: 3, max: 60, integer: true });
    const acrossFlats = checkNumber(site, "acrossFlats", given.acrossFlats, size);
    const corner = checkNumber(site, "corner", given.corner ?? 0, {
      min: 0,
      max: acrossFlats / 2,
      unit: "mm",
    });
    return new Outline(polygon(sides, acrossFlats, corner), site.call);
  },

  /** A rectangle with rounded corners: `width` along x, `depth` along y, `corner` its fillets, mm. */
  rounded(options: { width: number; depth: number; corner: number }): Outline {
    const site = begin("rounded");
    const given = checkKeys(site, options, ["width", "depth", "corner"]);
    const width = checkNumber(site, "width", given.width, size);
    const depth = checkNumber(site, "depth", given.depth, size);
    const most = Math.min(width, depth) / 2;
    const corner = checkNumber(site, "corner", given.corner, { min: 0, max: most, unit: "mm" });
    return new Outline(rounded(width, depth, corner), site.call);
  },

  /**
   * A circle with flutes: r = diameter/2 + amplitude·cos(waves·angle). 2 to 60 `waves`, a crest on
   * +x. An `amplitude` of 0 is a circle that flutes can fade into.
   */
  wave(options: { diameter: number; waves: number; amplitude: number }): Outline {
    const site = begin("wave");
    const given = checkKeys(site, options, ["diameter", "waves", "amplitude"]);
    const diameter = checkNumber(site, "diameter", given.diameter, size);
    const waves = checkNumber(site, "waves", given.waves, { min: 2, max: 60, integer: true });
    // Steeper flutes would hide from the middle: the angle from ray to wall stays under 80°.
    const most = Math.floor((diameter / 2) * 1000 * (5.67 / Math.hypot(waves, 5.67))) / 1000;
    const amplitude = checkNumber(site, "amplitude", given.amplitude, { min: 0, max: most, unit: "mm" });
    const curve = wave(diameter, waves, amplitude);
    if (!curve)
      throw new KitError(
        "kit-conflict",
        { call: site.name, reason: "these waves fold." },
        { call: site.call },
      );
    return new Outline(curve, site.call);
  },
});
