import type { MoldNumbers } from "../../../shared/engine.ts";
import type { MoldModel } from "../mold/model.ts";
import { estimatePrint } from "../output/printing.ts";
import { boundsOf, volumeOf } from "../solid/measure.ts";

/** A mold in numbers, as one would write them beside its picture. */
export function moldNumbers(model: MoldModel): MoldNumbers {
  const { clay, build, press, base, side, stand, open, fired, wet, printer } = model;
  const drafts = model.parts.flatMap(({ draftDeg }) => (draftDeg === null ? [] : [draftDeg]));
  return {
    clay: { name: clay.name, total: clay.total, used: clay.used },
    slab: build.slab,
    wall: build.wall,
    press,
    base,
    side,
    stand,
    open,
    fired: fired && { capacityMl: fired.capacityMl, massG: fired.massG },
    wet: { massG: wet.massG, slabAreaMm2: wet.slabAreaMm2 },
    leastDraftDeg: drafts.length > 0 ? Math.min(...drafts) : null,
    parts: model.parts.map((part) => {
      const { min, max } = boundsOf(part.mesh);
      return {
        name: part.name,
        role: part.role,
        size: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
        draftDeg: part.draftDeg,
        undercutMm2: part.undercutMm2,
        undercutMm: part.undercutMm,
        ...estimatePrint(volumeOf(part.mesh), printer),
      };
    }),
    seams: model.seams.map(({ name, parts, follow, atDeg }) => ({
      name,
      parts,
      follow,
      atDeg,
      keys: model.keys.filter(({ seam }) => seam === name).length,
    })),
    moves: model.moves.map(({ part, direction, mm, against }) => ({ part, direction, mm, against })),
  };
}
