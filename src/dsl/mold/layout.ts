import { normalOf, type Form } from "../form/form.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { drawnGap } from "../kit/printer.ts";

/** Heights and widths of everything that is not clay, mm, mold frame. Common practice, no source, where no other is named. */
export interface Layout {
  /** Height of the cavity. */
  height: number;
  /** Lowest point of the walls: 0, or under the floor plate. */
  foot: number;
  wall: number;
  flange: { width: number; thickness: number };
  /** Shelves at rim and foot: `width` beyond the shell, `thick` before the 45° underside begins. */
  shelf: { width: number; thick: number };
  bands: { at: number[]; width: number; depth: number };
  gutter: { from: number; to: number };
  floor: boolean;
  /** Between floor plate and walls as they are drawn, square to their faces. */
  floorGap: number;
  /** Where another ring of the mold meets this one: how far the shelf stands out there beyond the shell. */
  joints?: { foot?: number; rim?: number };
  /** Which end it prints standing on, where that is not the foot: a ring with tongues under its foot. */
  bed?: "rim";
}

/** Thickness of the shelf of a mold of one piece before its 45° underside begins, mm (practice). */
const SHELF = 4;

/** Of a mold of one piece: a shelf along its rim, and nothing of what keeps parts together. */
export function wholeLayout(
  { rim }: MoldSpec,
  wall: number,
  { foot, height }: { foot: number; height: number },
): Layout {
  return {
    height,
    foot,
    wall,
    flange: { width: 0, thickness: SHELF },
    shelf: { width: rim.width, thick: SHELF },
    bands: { at: [], width: 0, depth: 0 },
    gutter: { from: 0, to: 0 },
    floor: false,
    floorGap: 0,
  };
}

/** Flat beside the cavity that the knife runs on, before the gutter. */
export const GUTTER_START = 4;
export const GUTTER_WIDTH = 2.5;
export const GUTTER_DEPTH = 1;
/** The gutter stops this short of rim and foot, so that their faces stay whole. */
const GUTTER_END = 3;
/** Bed edges are cut by this much, since first layers spread; it fades out within this distance of the cavity edge. */
export const CHAMFER = 0.4;
export const CHAMFER_FADE = 1;

export const FLOOR = {
  /** Thickness of the plate. */
  thickness: 6,
  /** How far the tongue reaches into the walls. */
  tongue: 2,
  /** Gap between plate and walls once they are printed, square to their faces. */
  clearance: 0.3,
  /** Slope of the tongue's flanks, degrees: walls slide off it sideways. */
  bevel: 10,
  /** Upright part above and below the groove. */
  lip: 1,
} as const;

export function layOut(spec: MoldSpec, height: number, wall: number): Layout {
  const floor = spec.base.kind === "floor";
  const foot = floor ? -FLOOR.thickness : 0;
  const { count, width, depth } = spec.bands;
  const at = Array.from({ length: count }, (_, i) => (height * (i + 0.5)) / count);
  return {
    height,
    foot,
    wall,
    flange: spec.flange,
    shelf: { width: spec.rim.width, thick: spec.flange.thickness },
    bands: { at, width, depth },
    gutter: { from: GUTTER_END, to: height - GUTTER_END },
    floor,
    floorGap: drawnGap(FLOOR.clearance, spec.printer),
  };
}

/** How far the shelves stand out beyond the shell at rim and foot, mm. */
export function shelfWidths({ shelf, joints }: Layout): { rim: number; foot: number } {
  return { rim: joints?.rim ?? shelf.width, foot: joints?.foot ?? shelf.width };
}

/** Where shelves begin, are half-way out and end. */
export function shelfLevels(layout: Layout): number[] {
  const { height, foot, shelf } = layout;
  const widths = shelfWidths(layout);
  return [
    height - shelf.thick,
    height - shelf.thick - widths.rim / 2,
    height - shelf.thick - widths.rim,
    foot + shelf.thick,
    foot + shelf.thick + widths.foot / 2,
    foot + shelf.thick + widths.foot,
  ];
}

/** Height of the end that lies on the bed. */
export const bedLevel = ({ bed, height, foot }: Layout) => (bed === "rim" ? height : foot);

/** Levels that the grid must have for these. */
export function levelsOf(layout: Layout, form: Form): number[] {
  const { height, foot, bands, gutter, joints } = layout;
  const bed = bedLevel(layout);
  const [low, high] = [joints?.foot === undefined ? 0 : foot, height];
  const levels = [
    low,
    high,
    ...shelfLevels(layout),
    bed === foot ? foot + CHAMFER : height - CHAMFER,
    gutter.from,
    gutter.from + GUTTER_DEPTH,
    gutter.to - GUTTER_DEPTH,
    gutter.to,
    ...bands.at.flatMap((z) => {
      const half = bands.width / 2;
      return [z - half - bands.depth, z - half, z + half, z + half + bands.depth];
    }),
    ...sharpLevels(form, layout.wall),
  ];
  return levels.filter((z) => z >= low && z <= high);
}

/** Where the shell around a sharp level edge begins, ends and bends: a chord across would cut into it. */
function sharpLevels(form: Form, wall: number): number[] {
  if (form.side === "smooth") return [];
  return form.zs.slice(1, -1).flatMap((z) =>
    form.marks.flatMap(({ u }) => {
      const column = form.column(u);
      const above = normalOf(column.at(z))[2];
      const below = normalOf(column.at(z, true))[2];
      return [0, 0.25, 0.5, 0.75, 1].map((share) => z + wall * (above + share * (below - above)));
    }),
  );
}

/** Depth of the band seat at this height. */
export function bandDepth({ bands }: Layout, z: number): number {
  return Math.max(
    0,
    ...bands.at.map((at) => Math.min(bands.depth, bands.width / 2 + bands.depth - Math.abs(z - at))),
  );
}

/** Depth of the squeeze gutter at this height and distance from the cavity. */
export function gutterDepth({ gutter }: Layout, z: number, distance: number): number {
  const along = Math.min(z - gutter.from, gutter.to - z, GUTTER_DEPTH);
  const side = GUTTER_WIDTH * 0.3;
  const across = Math.min(distance - GUTTER_START, GUTTER_START + GUTTER_WIDTH - distance) / side;
  return Math.max(0, along) * Math.min(1, Math.max(0, across));
}

/**
 * How far the shelves of rim and foot stand out beyond the shell of their own end at this height; −∞
 * where neither reaches. Where rings meet, the underside goes on inwards until it runs into the shell.
 */
export function shelfReach(layout: Layout, z: number): { rim: number; foot: number } {
  const { height, foot, shelf, joints } = layout;
  const widths = shelfWidths(layout);
  const bed = bedLevel(layout);
  const at = (below: number, width: number, hangs: boolean) => {
    const reach = below <= shelf.thick ? width : width - (below - shelf.thick);
    return reach > 0 || hangs ? reach : -Infinity;
  };
  return {
    rim: at(height - z, widths.rim, joints?.rim !== undefined && bed !== height),
    foot: at(z - foot, widths.foot, joints?.foot !== undefined && bed !== foot),
  };
}

/**
 * The wall's inner face below the cavity, from the clay's edge down: heights and how far it stands
 * outside the cavity outline. A groove that clasps the floor's tongue.
 */
export function grooveProfile({ floorGap }: Layout): { z: number; out: number }[] {
  const { thickness, lip, tongue, bevel } = FLOOR;
  const deep = tongue + floorGap;
  const drop = deep * Math.tan((bevel * Math.PI) / 180);
  return [
    { z: -lip, out: 0 },
    { z: -lip - drop, out: deep },
    { z: -thickness + lip + drop, out: deep },
    { z: -thickness + lip, out: 0 },
    { z: -thickness + CHAMFER, out: 0 },
    { z: -thickness, out: 0 },
  ];
}

/** Chains of a floor and of the groove around it are thinned by no more than this, mm, so that they never cross. */
export const floorChord = ({ floorGap }: Layout, chord: number): number => Math.min(chord, floorGap / 3);

/** The floor plate's edge from its top down, parallel to the groove at the gap. */
export function plateProfile({ floorGap: gap }: Layout): { z: number; out: number }[] {
  const { thickness, lip, tongue, bevel } = FLOOR;
  const slope = Math.tan((bevel * Math.PI) / 180);
  const shift = gap / Math.cos((bevel * Math.PI) / 180);
  const top = (out: number) => -lip - out * slope - shift;
  const bottom = (out: number) => -thickness - top(out);
  return [
    { z: 0, out: -gap },
    { z: top(-gap), out: -gap },
    { z: top(tongue), out: tongue },
    { z: bottom(tongue), out: tongue },
    { z: bottom(-gap), out: -gap },
    { z: -thickness + CHAMFER, out: -gap },
    { z: -thickness, out: -gap - CHAMFER },
  ];
}
