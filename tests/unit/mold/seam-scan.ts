import { loft, profile, shrink } from "../../../src/dsl/index.ts";
import { Form } from "../../../src/dsl/form/form.ts";
import type { Facets } from "../../../src/dsl/leaving/facets.ts";
import { planOpening, type ClosedPart, type PlannedPull } from "../../../src/dsl/leaving/plan.ts";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { clayFacets } from "../../../src/dsl/mold/clay-facets.ts";
import { coarseForm } from "../../../src/dsl/mold/coarse-rings.ts";
import { faceNormals } from "../../../src/dsl/mold/seam-normals.ts";
import { evenSeams, type Cut } from "../../../src/dsl/mold/seam-plan.ts";
import { SeamShare } from "../../../src/dsl/mold/seam-share.ts";
import { SeamTrial } from "../../../src/dsl/mold/seam-trial.ts";
import { uAtAngle, type SeamPlan } from "../../../src/dsl/mold/seams.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { GRID_TURN, SURFACE } from "../../../src/dsl/tolerances.ts";
import { random } from "./inside.ts";

export const REACH = 17;

/** A twisted, lobed, leaning form, the same for the same seed, with how it is cut. */
export function randomForm(seed: number): { form: Form; cut: Cut } {
  const next = random(seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];
  const diameter = between(60, 100);
  const lobes = pick(2, 3, 4, 5, 6);
  const kind = pick("wave", "wave", "polygon", "ellipse");
  const outline =
    kind === "wave"
      ? profile.wave({
          diameter,
          waves: lobes,
          amplitude: between(0.5, (0.5 * diameter) / (lobes * lobes + 2)),
        })
      : kind === "polygon"
        ? profile.polygon({ sides: lobes + 2, acrossFlats: diameter, corner: between(1, 8) })
        : profile.ellipse({ width: diameter, depth: diameter * between(0.6, 0.95) });
  const height = between(60, 130);
  const twist = between(-45, 45);
  const lean = [between(-15, 15), between(-15, 15)];
  const count = pick(2, 3);
  const sections = Array.from({ length: count }, (_, k) => {
    const share = k / (count - 1);
    return outline
      .scale(k === 0 ? 1 : between(0.85, 1.25))
      .turn(twist * share)
      .shift(lean[0] * share, lean[1] * share)
      .at(height * share);
  });
  const body = shrink(loft(sections), 0);
  const cut: Cut = { parts: pick(2, 3, 4), follow: pick("form", "flat"), call: -1 };
  return { form: new Form(body, 1), cut };
}

/** What the whole search for pulls, with rays, finds held by seams in these places, mm². */
export function heldBy(trial: SeamTrial, solid: Mesh, plans: readonly SeamPlan[]): number {
  return planned(trial, solid, plans).reduce((sum, { undercut }) => sum + undercut.areaMm2, 0);
}

/** The same on the mesh that a mold is exported with, mm². */
export function heldOnMesh(form: Form, trial: SeamTrial, plans: readonly SeamPlan[]): number {
  const fineness = { tolerance: SURFACE.export, turn: GRID_TURN.export, body: -1 };
  const { grid, seams, clay } = coarseForm(form, plans, [], fineness);
  const facets = (i: number) => clayFacets(grid, seams[i], seams[(i + 1) % seams.length]);
  return planned(trial, clay.mesh, plans, facets).reduce((sum, { undercut }) => sum + undercut.areaMm2, 0);
}

/**
 * How each part leaves, by the whole search for pulls.
 *
 * @param facets the clay that a part touches; default that of the trial
 */
export function planned(
  trial: SeamTrial,
  solid: Mesh,
  plans: readonly SeamPlan[],
  facets?: (part: number) => Facets,
): PlannedPull[] {
  const traces = plans.map((plan) => trial.trace(plan));
  const faces = traces.map((us) => faceNormals(trial, us, REACH));
  const count = plans.length;
  const row = trial.zs.length >> 1;
  const middle = (i: number): Vec3 => {
    const at = (plan: number) => {
      const { x, y } = trial.points(traces[plan]);
      return Math.atan2(y[row] - trial.centreY[row], x[row] - trial.centreX[row]);
    };
    let span = at((i + 1) % count) - at(i);
    while (span <= 1e-9) span += 2 * Math.PI;
    return [Math.cos(at(i) + span / 2), Math.sin(at(i) + span / 2), 0];
  };
  const parts = plans.map((_, i): ClosedPart => {
    const contacts = new Map<string, Float64Array>();
    const add = (other: number, normals: number[]) =>
      contacts.set(String(other), Float64Array.from([...(contacts.get(String(other)) ?? []), ...normals]));
    add((i + count - 1) % count, faces[i]);
    add(
      (i + 1) % count,
      faces[(i + 1) % count].map((value) => -value),
    );
    const clay = facets?.(i) ?? new SeamShare(trial, traces[i], traces[(i + 1) % count]).facets;
    return { name: String(i), clay, middle: middle(i), contacts, beside: null };
  });
  const options = { stand: [0, 0, 1] as Vec3, level: false, keyDraft: 0, wantedDraft: 0 };
  return planOpening(parts, solid, options);
}

/** Even seams from a place on, degrees: along u for seams with the form, polar angle for flat ones. */
export function seamsAt(form: Form, cut: Cut, degrees: number): SeamPlan[] {
  const first = cut.follow === "form" ? degrees / 360 : uAtAngle(form, (degrees * Math.PI) / 180, 0);
  return evenSeams(form, cut, first);
}

/** The least of what is held by even seams a degree apart, with where it is. */
export function scan(form: Form, cut: Cut, step = 1): { area: number; degrees: number; count: number } {
  const trial = new SeamTrial(form);
  const solid = trial.solid();
  let best = { area: Infinity, degrees: 0 };
  let count = 0;
  for (let degrees = 0; degrees < 360 / cut.parts; degrees += step) {
    const area = heldBy(trial, solid, seamsAt(form, cut, degrees));
    if (area < best.area) best = { area, degrees };
    count++;
  }
  return { ...best, count };
}
