import { GRAIN } from "../leaving/drawn.ts";
import { withScope, type Scope, type Solid } from "../solid/kernel.ts";
import { areaOf, volumeOf } from "../solid/measure.ts";
import { proveContact } from "../solid/proof.ts";
import { SNAP } from "../tolerances.ts";
import type { BuiltMold } from "./build.ts";

/** Volumes must agree to this fraction of the whole, */
const VOLUME_TOLERANCE = 1e-6;
/** or, where that is less than the grain of the numbers, to this depth over all faces of the parts, mm: around a small handle. */
const ROUNDING = SNAP / 24;
/** Two parts may share this much, mm³: the grain of the numbers, no overlap that a printer shows. */
const OVERLAP = 1;
/** How far each part is really moved, mm: no way that `cutBy` does not look at. */
const STEPS = [1, 3, 10, 40];

/** What the proof found, for the manifest's sake and for tests. */
export interface MoldProof {
  /** Inside the outer surface of the closed mold, mm³. */
  outerMm3: number;
  guttersMm3: number;
  /** Parts + clay + gutters + sockets − pegs − outer, mm³. */
  differenceMm3: number;
  /** Largest volume that two parts share, mm³. */
  overlapMm3: number;
}

/**
 * Proves a mold before a byte of it is written; throws with everything that is wrong.
 *
 * (a) Before keys: the triangles of parts and clay cancel to one closed outer surface. A solid that
 *     the kernel cut has the volume of the uncut block instead.
 * (b) With keys: the volumes of parts, clay, gutters, sockets and pegs add up to the outer volume.
 * (c) No two parts overlap.
 * (d) Each part that is said to come off is moved along its pull and meets neither clay nor the
 *     parts that are still there.
 */
export function proveMold(built: BuiltMold): MoldProof {
  const { bare, clay, model } = built;
  const contact = built.meshed
    ? proveContact([...bare, { name: "clay", ...clay }])
    : { faults: [], outer: built.whole!, hollows: 0 };
  const faults = [...contact.faults];
  const result = withScope((scope) => {
    const solids = new Map(
      model.parts
        .filter((part) => part.role === "wall" || part.role === "floor")
        .map((part) => [part.name, scope.solid(part)]),
    );
    const filled =
      [...solids.values()].reduce((sum, solid) => sum + solid.volume, 0) +
      volumeOf(clay.mesh) +
      contact.hollows;
    const differenceMm3 = filled + changedVolume(built, scope) - contact.outer;
    const faces = model.parts.reduce((sum, part) => sum + (solids.has(part.name) ? areaOf(part.mesh) : 0), 0);
    if (Math.abs(differenceMm3) > Math.max(VOLUME_TOLERANCE * contact.outer, ROUNDING * faces)) {
      faults.push(`the volumes differ by ${differenceMm3.toFixed(3)} mm³ from the whole`);
    }
    const pegs = model.parts
      .filter((part) => part.role === "peg")
      .map((part) => [part.name, scope.solid(part)] as const);
    const overlapMm3 = overlaps(new Map([...solids, ...pegs]), scope, faults);
    moves(built, solids, scope, faults);
    return { outerMm3: contact.outer, guttersMm3: contact.hollows, differenceMm3, overlapMm3 };
  });
  if (faults.length > 0) throw new Error(`${model.name} does not hold: ${faults.join("; ")}`);
  return result;
}

/** What was taken from the parts less what was put on them, mm³. */
function changedVolume({ bare, changes }: BuiltMold, scope: Scope): number {
  let volume = 0;
  for (const { part, adds, cuts } of changes) {
    if (adds.length === 0 && cuts.length === 0) continue;
    const before = scope.solid(bare.find((one) => one.name === part)!);
    const put = adds.length > 0 ? scope.union(adds.map((one) => scope.solid(one))) : null;
    if (put) volume -= put.volume - scope.commonVolume(before, put);
    if (cuts.length > 0) {
      // Cuts go through what was put on, too: a groove runs out through a foot.
      const cut = scope.union(cuts.map((one) => scope.solid(one)));
      volume += scope.commonVolume(put ? scope.union([before, put]) : before, cut);
    }
  }
  return volume;
}

function overlaps(solids: ReadonlyMap<string, Solid>, scope: Scope, faults: string[]): number {
  const names = [...solids.keys()];
  let most = 0;
  names.forEach((a, i) => {
    for (const b of names.slice(i + 1)) {
      const common = scope.commonVolume(solids.get(a)!, solids.get(b)!);
      most = Math.max(most, common);
      if (common > OVERLAP) faults.push(`${a} and ${b} overlap by ${common.toFixed(2)} mm³`);
    }
  });
  return most;
}

function moves(
  { model, clay, spec }: BuiltMold,
  solids: ReadonlyMap<string, Solid>,
  scope: Scope,
  faults: string[],
): void {
  const pot = scope.solid(clay);
  const left = new Set(solids.keys());
  // Parts that never come free are a finding too, and are not among the moves.
  for (const { part, direction, mm } of model.moves) {
    left.delete(part);
    // Pieces that are glued for good are lifted off as one.
    const others = spec.seams.kind === "whole" ? [] : left;
    const known = model.parts.find((one) => one.name === part)!;
    const solid = solids.get(part)!;
    for (const step of STEPS.filter((one) => one <= mm)) {
      const moved = scope.move(solid, [direction[0] * step, direction[1] * step, direction[2] * step]);
      // What clay holds is a finding of its own, and tears.
      const torn = known.undercutMm > 0 ? 0 : scope.commonVolume(moved, pot);
      if (torn > GRAIN) faults.push(`${part}, drawn ${step} mm, cuts ${torn.toFixed(2)} mm³ into the clay`);
      for (const other of others) {
        const hit = scope.commonVolume(moved, solids.get(other)!);
        if (hit > GRAIN) faults.push(`${part}, drawn ${step} mm, cuts ${hit.toFixed(2)} mm³ into ${other}`);
      }
    }
  }
}
