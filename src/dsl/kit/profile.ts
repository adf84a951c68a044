import { circle } from "../outline/circle.ts";
import { ellipse } from "../outline/ellipse.ts";
import { polygon } from "../outline/polygon.ts";
import { rounded } from "../outline/rounded.ts";
import { superellipse } from "../outline/superellipse.ts";
import { wave } from "../outline/wave.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber, type Site } from "./options.ts";
import { LARGEST, Outline } from "./outline.ts";
import { polarOutline, splineOutline, svgOutline } from "./profile-free.ts";
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

  /**
   * An ellipse drawn out towards its corners: |2x/width|ᵖ + |2y/depth|ᵖ = 1, mm. `power` 2 is an
   * ellipse, larger is squarer, smaller more pointed; 1.2 to 20, default 2.5.
   */
  superellipse(options: { width: number; depth: number; power?: number }): Outline {
    const site = begin("superellipse");
    const given = checkKeys(site, options, ["width", "depth", "power"]);
    const width = checkNumber(site, "width", given.width, size);
    const depth = checkNumber(site, "depth", given.depth, size);
    const power = checkNumber(site, "power", given.power ?? 2.5, { min: 1.2, max: 20 });
    return new Outline(superellipse(width, depth, power)!, site.call);
  },

  /**
   * A radius for each angle: `radius` is called with degrees from 0 to 360, counter-clockwise from
   * +x, and gives mm. It must close, and may have corners but no jumps.
   */
  polar(radius: (angle: number) => number): Outline {
    const { call } = begin("polar");
    return new Outline(polarOutline(call, radius), call);
  },

  /**
   * A smooth closed curve through three or more points `[x, y]`, mm, either way around. It starts
   * at the first. Turning and scaling are about the origin, or about the middle of its area where
   * the origin lies outside.
   */
  spline(points: readonly (readonly [number, number])[]): Outline {
    const { call } = begin("spline");
    const { curve, cx, cy } = splineOutline(call, points);
    return new Outline(curve, call, cx, cy);
  },

  /**
   * The first closed path of a drawing beside the design, the middle of its area on the origin,
   * up in the drawing to the back. `width` scales it to this extent along x, mm; without it a
   * drawing that states its size in mm, cm or in keeps it, and any other unit is one mm.
   */
  svg(file: string, options?: { width?: number }): Outline {
    const site = begin("svg");
    const inner = { ...site, argument: 1 };
    const given = checkKeys(inner, options, ["width"]);
    const width = given.width === undefined ? undefined : checkNumber(inner, "width", given.width, size);
    return new Outline(svgOutline(site.call, file, width), site.call);
  },
});
