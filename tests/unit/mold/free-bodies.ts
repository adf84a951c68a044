import modeling from "@jscad/modeling";
import { loft, profile, solid, sweep } from "../../../src/dsl/index.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";

/** Bodies whose level sections no ray from their middle sees whole, fired size. */

/** A bean with a hollow deeper than its middle, long along x. */
export const bean = (): Outline =>
  profile.spline([
    [-60, -18],
    [-48, -38],
    [-10, -36],
    [18, -40],
    [50, -34],
    [62, -6],
    [48, 22],
    [22, 20],
    [0, 2],
    [-22, 8],
    [-44, 16],
    [-58, 4],
  ]);

/** A dish over the bean that narrows upwards a little, so that walls drawn off rising have draft. */
export const kidney = (place: (outline: Outline) => Outline = (one) => one): Body =>
  loft([place(bean()).at(0), place(bean().scale(0.94)).at(42)]);

/** The same, but mirrored at the xz-plane. */
export const mirroredKidney = (): Body => {
  const flat = profile.spline(
    [
      [-60, 18],
      [-48, 38],
      [-10, 36],
      [18, 40],
      [50, 34],
      [62, 6],
      [48, -22],
      [22, -20],
      [0, -2],
      [-22, -8],
      [-44, -16],
      [-58, -4],
    ].map(([x, y]): [number, number] => [x, y]),
  );
  return loft([flat.at(0), flat.scale(0.94).at(42)]);
};

/** A vase that leans over in a bow, open at its upper end; at any size. */
export const bowedVase = (factor = 1): Body =>
  sweep(
    profile.ellipse({ width: 56 * factor, depth: 44 * factor }),
    [
      [0, 0, 0],
      [0, 0, 30 * factor],
      [8 * factor, 0, 60 * factor],
      [8 * factor, 0, 90 * factor],
    ],
    { taper: 0.8, ends: 0 },
  );

/** A solid of @jscad/modeling: a boat with a round keel, level at its rim only. */
export const boat = (): Body => {
  const hull = modeling.hulls.hull(
    modeling.primitives.sphere({ radius: 24, center: [-26, 0, 0], segments: 48 }),
    modeling.primitives.sphere({ radius: 24, center: [26, 0, 0], segments: 48 }),
  );
  const above = modeling.primitives.cuboid({ size: [200, 200, 100], center: [0, 0, 50 + 6] });
  return solid(modeling.booleans.subtract(hull, above));
};
