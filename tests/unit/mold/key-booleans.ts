import { key } from "../../../src/dsl/index.ts";
import { withChange } from "../../../src/dsl/mold/change.ts";
import { shapeAtAngle } from "../../../src/dsl/mold/keys.ts";
import { keySolids } from "../../../src/dsl/mold/key-solids.ts";
import { MeshBuilder } from "../../../src/dsl/solid/builder.ts";
import { withScope } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import type { Tagged } from "../../../src/dsl/solid/tagged.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import type { Vec3 } from "../../../src/dsl/mold/model.ts";
import { random } from "./inside.ts";

/** Flange as a tool would have it: along its ruling, up, and behind its face, mm. */
const LENGTH = 20;
const HEIGHT = 40;
const THICK = 5;
const STEPS = 24;

export interface KeyBoolean {
  shape: string;
  parts: number;
  twist: number;
  /** What is wrong with the solids, in words; empty when nothing is. */
  faults: string[];
  /** Volume of the peg that stands proud, and of the socket, against what the profile's formula gives: relative. */
  offBy: number;
}

/**
 * A peg put on one side of a seam face and its socket taken from the other, the same for the same
 * seed: for k parts, a face that is flat or a helicoid of up to 60° in 100 mm, and each shape. Null
 * where the shape is too low to be used there.
 */
export function keyBoolean(seed: number): KeyBoolean | null {
  const next = random(31 * seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];
  const shape = pick("dome" as const, "cone" as const, "ridge" as const);
  const parts = pick(2, 3, 4, 5, 6);
  const twist = pick(0, between(-60, 60));
  const size = shape === "ridge" ? between(3, 6) : between(5, 9);
  const spec = key({ shape, size, clearance: between(0.1, 0.3) });
  // A peg square to a radial seam face of k parts stands at 90° − 180°/k to the pull (derived).
  const theta = 90 - 180 / parts;
  const made = shapeAtAngle(theta, spec, 4);
  if (!made || made.height < 1) return null;

  // The face y = f(x, z): a helicoid about the axis x = −40, y = 0.
  const rate = (twist * Math.PI) / 180 / 100;
  const face = (x: number, z: number) => (x + 40) * Math.tan(rate * (z - HEIGHT / 2));
  const low = slabBeside(face, -THICK);
  const high = slabBeside(face, THICK);
  const at: Vec3 = [LENGTH / 2, 0, HEIGHT / 2];
  const axis: Vec3 = [0, 1, 0];
  const angle = (theta * Math.PI) / 180;
  const parting: Vec3 = [Math.sin(angle), Math.cos(angle), 0];
  const reach = made.socket(0)[0].r;
  let bulge = 0;
  for (let k = 0; k < 32; k++) {
    const turn = (k * Math.PI) / 16;
    bulge = Math.max(bulge, Math.abs(face(at[0] + reach * Math.cos(turn), at[2] + reach * Math.sin(turn))));
  }
  const sunk = bulge + 0.5;
  const solids = keySolids(made, { at, axis, side: [1, 0, 0] }, parting, spec, sunk);
  const peg = solids.peg!;
  return withScope((scope) => {
    const faults: string[] = [];
    const [lower, upper] = [scope.solid(low), scope.solid(high)];
    const proud = withChange(low, { part: "low", adds: [peg], cuts: [] });
    const hollow = withChange(high, { part: "high", adds: [], cuts: [solids.socket] });
    for (const [name, solid] of [
      ["proud", proud],
      ["hollow", hollow],
    ] as const) {
      const fault = faultOfSolid(solid.mesh);
      if (fault) faults.push(`${name}: ${fault}`);
      const { vertices, triangles } = counts(solid);
      // Euler: a solid in one piece without a hole has V − F/2 = 2.
      if (vertices - triangles / 2 !== 2)
        faults.push(`${name}: V − F/2 is ${vertices - triangles / 2}, not 2`);
    }
    // The peg is whole: its part ahead of the face and its root add up to it, and the sides only share the gap.
    const rootMm3 = scope.commonVolume(lower, scope.solid(peg));
    const put = volumeOf(proud.mesh) - volumeOf(low.mesh);
    const whole = volumeOf(peg.mesh);
    if (Math.abs(put + rootMm3 - whole) > 1e-3 * whole)
      faults.push(`${(whole - put - rootMm3).toFixed(3)} mm³ of the peg are lost`);
    const taken = volumeOf(high.mesh) - volumeOf(hollow.mesh);
    const cut = scope.commonVolume(upper, scope.solid(solids.socket));
    if (Math.abs(taken - cut) > 1e-3 * cut) faults.push("the socket is not all taken");
    if (scope.commonVolume(scope.solid(proud), scope.solid(hollow)) > 0.01)
      faults.push("peg and socket overlap");
    return { shape, parts, twist, faults, offBy: Math.abs(whole / formula(made, sunk) - 1) };
  });
}

function counts({ mesh }: Tagged): { vertices: number; triangles: number } {
  return { vertices: new Set(mesh.triangles).size, triangles: mesh.triangles.length / 3 };
}

/** Volume of the peg with its root, from its profile: frusta of a 32-sided turn, or prismatoids of a ridge (derived). */
function formula(shape: NonNullable<ReturnType<typeof shapeAtAngle>>, root: number): number {
  if (shape.levels) {
    const levels = shape.levels.peg(root);
    const area = (corners: [number, number][]) =>
      Math.abs(
        corners.reduce((sum, [x, y], i) => {
          const [u, v] = corners[(i + 1) % corners.length];
          return sum + x * v - u * y;
        }, 0),
      ) / 2;
    return levels.slice(1).reduce((sum, { h, corners }, i) => {
      const below = levels[i];
      const middle = corners.map(([x, y], k): [number, number] => [
        (x + below.corners[k][0]) / 2,
        (y + below.corners[k][1]) / 2,
      ]);
      return sum + ((h - below.h) * (area(corners) + 4 * area(middle) + area(below.corners))) / 6;
    }, 0);
  }
  const profile = shape.peg(root);
  const polygon = 16 * Math.sin((2 * Math.PI) / 32);
  return profile.slice(1).reduce((sum, { r, h }, i) => {
    const below = profile[i];
    return sum + (polygon * (h - below.h) * (r * r + r * below.r + below.r * below.r)) / 3;
  }, 0);
}

/** A flange on one side of the face, `thick` mm along y; its other side is flat. */
function slabBeside(face: (x: number, z: number) => number, thick: number): Tagged {
  const builder = new MeshBuilder(4 * STEPS * STEPS);
  builder.face("seam", -1);
  const back = thick * 3;
  const grid = (y: (x: number, z: number) => number) =>
    Array.from({ length: STEPS + 1 }, (_, j) =>
      Array.from({ length: STEPS + 1 }, (_, i) => {
        const [x, z] = [(LENGTH * i) / STEPS, (HEIGHT * j) / STEPS];
        return builder.vertex(x, y(x, z), z);
      }),
    );
  const [near, far] = [grid(face), grid(() => back)];
  const quad = (a: number, b: number, c: number, d: number) =>
    thick > 0 ? builder.quad(a, b, c, d) : builder.quad(a, d, c, b);
  for (let j = 0; j < STEPS; j++) {
    for (let i = 0; i < STEPS; i++) {
      quad(near[j][i], near[j][i + 1], near[j + 1][i + 1], near[j + 1][i]);
      quad(far[j + 1][i], far[j + 1][i + 1], far[j][i + 1], far[j][i]);
    }
    quad(far[j][0], near[j][0], near[j + 1][0], far[j + 1][0]);
    quad(near[j][STEPS], far[j][STEPS], far[j + 1][STEPS], near[j + 1][STEPS]);
    quad(far[0][j], far[0][j + 1], near[0][j + 1], near[0][j]);
    quad(near[STEPS][j], near[STEPS][j + 1], far[STEPS][j + 1], far[STEPS][j]);
  }
  return builder.finish();
}
