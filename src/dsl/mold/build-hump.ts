import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { snap } from "../solid/weld.ts";
import { GRID_TURN, SURFACE } from "../tolerances.ts";
import { ON_RIM } from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { COARSE } from "./coarse.ts";
import { buildCore, buildDrape, HUMP_SHELF, OUT, plateOutline } from "./hump-body.ts";
import { humpModel, humpVents, shelfMarks, type HumpDraft } from "./hump-draft.ts";
import { humpHollow } from "./hump-hollow.ts";
import { halveHump } from "./hump-halves.ts";
import { humpFacets, humpSurface } from "./hump-surface.ts";
import type { Layout } from "./layout.ts";
import { inscription } from "./marks.ts";
import { onePiece } from "./one-piece.ts";
import { openPieces } from "./open-pieces.ts";
import { clayScale } from "./scale.ts";
import { refuseUnseenHump } from "./seen.ts";
import { Unbuildable } from "./unbuildable.ts";

/**
 * A hump: the pot's room, made solid, that a slab is laid over, with a shelf at the mouth that the
 * edge of the clay stands on. In the frame of the pot it is drawn out upwards; at the bench it
 * stands on its shelf and the clay is lifted off.
 */
export function buildHump(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  if (spec.slab === "solid") throw new Error("a hump for solid clay");
  const scale = clayScale(spec.body);
  const form = new Form(spec.body, scale.cavity);
  refuseUnseenHump(spec);
  const surface = humpSurface(form, spec.slab, { tolerance: SURFACE[quality], turn: GRID_TURN[quality] });
  if (!surface) throw filled(spec, spec.slab, form);
  const layout: Layout = {
    height: form.height,
    foot: 0,
    wall: wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer),
    flange: { width: 0, thickness: HUMP_SHELF },
    shelf: { width: spec.rim.width, thick: HUMP_SHELF },
    bands: { at: [], width: 0, depth: 0 },
    gutter: { from: 0, to: 0 },
    floor: false,
    floorGap: 0,
  };
  const plate = plateOutline(surface, spec.rim.width);
  const core = buildCore(surface, plate, spec);
  const drape = buildDrape(surface, core, spec.body.call);
  const touched = humpFacets(surface.rings);
  const draft: HumpDraft = { spec, name, quality, scale, surface, layout, core, drape, touched, plate };
  return spec.seams.kind === "whole" ? inOne(draft, spec.slab, start) : halveHump(draft, start);
}

/** The hump of one piece, hollow underneath; printed in several where it is glued. */
function inOne(draft: HumpDraft, slab: number, start: number): BuiltMold {
  const { spec, name, quality, scale, surface, layout, core, drape, touched, plate } = draft;
  const { grid } = surface;
  const coarse = quality === "typing";
  const chord = coarse ? COARSE : 0;
  const shaped = performance.now();
  const opening = openPieces([{ name: "wall-a", touched, middle: OUT, meets: [] }], drape.mesh, OUT, spec);
  const opened = performance.now();

  const hollow = humpHollow(surface, slab, layout, spec.call);
  const bed = snap(layout.height + HUMP_SHELF);
  const underside = hollow ? [plate, hollow.mouth] : [plate];
  const change: PartChange = {
    part: "whole",
    adds: [],
    cuts: [
      ...(hollow ? [hollow.solid] : []),
      ...humpVents(draft),
      ...(spec.marks && !coarse ? shelfMarks(inscription(name, "", scale.total), underside, bed, spec) : []),
    ],
  };
  const keyed = performance.now();
  return onePiece({
    frame: humpModel(draft),
    spec,
    scale,
    layout,
    grid,
    cavity: grid,
    axis: grid.centres[0],
    opening,
    bare: core,
    change,
    chord,
    bedTurn: ON_RIM,
    clay: drape,
    times: { shape: shaped - start, opening: opened - shaped, keys: keyed - opened },
  });
}

/** The slab leaves no room for a hump. */
function filled(spec: MoldSpec, slab: number, form: Form): Unbuildable {
  let narrowest = Infinity;
  for (let i = 0; i <= 40; i++) {
    const z = Math.min(slab, form.height) + (Math.max(0, form.height - slab) * i) / 40;
    const c = form.centre(z);
    for (let k = 0; k < 72; k++) {
      const p = form.column(k / 72).at(z);
      narrowest = Math.min(narrowest, 2 * Math.hypot(p.x - c.x, p.y - c.y));
    }
  }
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return new Unbuildable({
    code: "slab-crowded",
    severity: "error",
    variant: "hump",
    args: { slab, narrowest: tenth(narrowest), height: tenth(form.height) },
    target: { call: spec.call, argument: 1, path: ["slab"] },
    value: slab,
    limit: tenth(Math.min(narrowest / 2, form.height)),
    unit: "mm",
  });
}
