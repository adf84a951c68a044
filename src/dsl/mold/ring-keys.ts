import type { MoldSpec } from "../kit/mold.ts";
import { wallOfLines } from "../kit/printer.ts";
import type { Tagged } from "../solid/tagged.ts";
import { degrees } from "./assemble.ts";
import type { PartChange } from "./build.ts";
import { backFeet } from "./feet.ts";
import { COARSE_SEGMENTS } from "./key-solids.ts";
import { placeKeys, type SeamKeys } from "./keys.ts";
import { inscription, wallMarks } from "./marks.ts";
import type { SeamModel, Vec3 } from "./model.ts";
import type { Opening } from "./opening.ts";
import { prySlot } from "./pry.ts";
import { gridRelief } from "./relief.ts";
import type { Ring } from "./rings.ts";
import { ringTongues } from "./ring-tongues.ts";
import type { ClayScale } from "./scale.ts";
import type { SeamLine } from "./seams.ts";

/** A ring with its walls, in its order. */
export type Storey = Ring & { solids: (Tagged & { name: string })[] };

/** What is on the walls of one ring besides their own shape. */
export interface KeyedRing {
  /** By seam. */
  keys: SeamKeys[];
  /** By wall: pegs, sockets, marks, slots, feet. */
  changes: PartChange[];
}

/** Keys in the upright seams of one ring, with everything else that is put on its walls and taken from them. */
export function keyRing(
  ring: Storey,
  given: {
    spec: MoldSpec;
    name: string;
    scale: ClayScale;
    opening: Opening;
    press: "closed" | "parts";
    coarse: boolean;
    /** Its first seam has a key out of step. */
    outOfStep: boolean;
  },
): KeyedRing {
  const { spec, name, scale, opening, press, coarse, outOfStep } = given;
  const { grid, layout, faces, solids, seamNames, marks } = ring;
  const count = solids.length;
  const keys = seamNames.map((seam, s) => {
    const proud = solids[(s + count - 1) % count].name;
    const hollow = solids[s].name;
    return placeKeys(
      { name: seam, proud, hollow, face: faces[s], ...partingOf(opening, proud, hollow) },
      spec.keys,
      spec.printer,
      layout,
      outOfStep && s === 0,
      coarse ? COARSE_SEGMENTS : undefined,
    );
  });
  const ends = faces.map((face, s) => ({ face, number: marks[s], keys: keys[s] }));
  const benchCuts = (part: string, i: number) => [
    ...(spec.marks
      ? wallMarks(inscription(name, part, scale.total), [ends[i], ends[(i + 1) % count]], layout, spec.call)
      : []),
    ...(spec.pry ? prySlot(faces[i], keys[i], layout, spec.call) : []),
  ];
  const relief = gridRelief(grid);
  const feet = (part: string, i: number) =>
    press === "parts" && !coarse
      ? backFeet(
          relief,
          solids[i].mesh,
          [faces[i], faces[(i + 1) % count]],
          opening.parts.get(part)!.pull,
          layout,
          spec.call,
        )
      : [];
  const changes = solids.map(({ name: part }, i): PartChange => {
    const pegs = keys[(i + 1) % count].keys;
    const sockets = keys[i].keys;
    return {
      part,
      adds: [...pegs.flatMap((key) => key.peg ?? []), ...feet(part, i)],
      cuts: [
        ...sockets.map((key) => key.socket),
        ...pegs.flatMap((key) => key.counter ?? []),
        // While typing, parts are there to be looked at.
        ...(coarse ? [] : benchCuts(part, i)),
      ],
    };
  });
  return { keys, changes };
}

/** Pull of whichever of two neighbours leaves first, pointing from the proud part to the hollow one. */
export function partingOf(
  opening: Opening,
  proud: string,
  hollow: string,
): { parting: Vec3; firstToLeave: string } {
  for (const [part, { pull }] of opening.parts) {
    if (part === hollow) return { parting: pull, firstToLeave: part };
    if (part === proud) return { parting: [-pull[0], -pull[1], -pull[2]], firstToLeave: part };
  }
  throw new Error(`neither ${proud} nor ${hollow} is a part`);
}

/** Upright seams of a ring, as the mold tells them. */
export function seamModels({ grid, seams, seamNames, walls }: Ring): SeamModel[] {
  return seams.map((seam, s) => ({
    name: seamNames[s],
    parts: [walls[(s + walls.length - 1) % walls.length], walls[s]],
    follow: seam.follow,
    atDeg: degrees(seam.angle),
    curve: grid.zs.map((z, j): Vec3 => [seam.x[j], seam.y[j], z]),
  }));
}

/** One part of a ring on the part under it. */
export interface KeyedJoint {
  proud: string;
  hollow: string;
  keys: SeamKeys;
  gutter: Tagged | null;
  model: SeamModel;
}

/** The joints of each ring with the next, in which the part that is taken off first carries the tongues. */
export function ringJoints(storeys: readonly Storey[], opening: Opening, spec: MoldSpec): KeyedJoint[] {
  return storeys.slice(1).flatMap((upper, r) => {
    const lower = storeys[r];
    const { grid } = upper;
    const z = grid.zs[0];
    const clay = grid.columns.map((_, i): [number, number] => [grid.x[0][i], grid.y[0][i]]);
    return upper.walls.map((above, i): KeyedJoint => {
      const below = lower.walls[i];
      const top = spec.stand === "foot";
      const [proud, hollow] = top ? [above, below] : [below, above];
      const name = `joint-${r + 1}-${i + 1}`;
      const { keys, gutter } = ringTongues(
        {
          name,
          proud,
          hollow,
          z,
          way: top ? -1 : 1,
          pull: opening.parts.get(proud)!.pull,
          clay,
          solids: [lower.solids[i], upper.solids[i]],
        },
        spec.keys,
        { thickness: spec.flange.thickness, edge: wallOfLines(2, spec.printer) },
        i === 0,
      );
      return { proud, hollow, keys, gutter, model: jointModel(name, upper, i, below, above) };
    });
  });
}

/** A joint as the mold tells it: from one upright seam to the next, along the clay. */
function jointModel(name: string, { grid, seams }: Ring, i: number, below: string, above: string): SeamModel {
  const [from, to] = [seams[i], seams[(i + 1) % seams.length]];
  const z = grid.zs[0];
  const start = from.us[0];
  let end = to.us[0];
  while (end <= start + 1e-9) end += 1;
  const within = grid.columns
    .map(({ u }, c) => ({ u: u + Math.ceil(start + 1e-6 - u), x: grid.x[0][c], y: grid.y[0][c] }))
    .filter(({ u }) => u < end - 1e-6)
    .sort((a, b) => a.u - b.u);
  const curve = [{ x: from.x[0], y: from.y[0] }, ...within, { x: to.x[0], y: to.y[0] }];
  const round = (angle: number) => angle - 2 * Math.PI * Math.floor(angle / (2 * Math.PI));
  const heading = (seam: SeamLine) => Math.atan2(seam.dirY[0], seam.dirX[0]);
  return {
    name,
    parts: [below, above],
    follow: "flat",
    atDeg: degrees(heading(from) + round(heading(to) - heading(from)) / 2),
    curve: curve.map(({ x, y }): Vec3 => [x, y, z]),
  };
}
