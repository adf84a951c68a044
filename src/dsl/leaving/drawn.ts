import { withScope } from "../solid/kernel.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Vec3 } from "./vector.ts";

/** How far a part is drawn, mm. */
const WAYS = [0.2, 0.5, 1, 2, 3, 5, 7, 10, 20, 40, 60];

/** A part that cuts no more than this on its way comes off, mm³: less is the grain of clay and print. */
export const GRAIN = 0.5;

/**
 * The most, mm³, that a solid cuts into another when the kernel really moves it along `m`, a unit
 * vector. Both closed, mold frame. Needs the kernel; it settles what is too small to be told by facets.
 */
export function cutBy(part: Mesh, m: Vec3, other: Mesh): number {
  const whole = (mesh: Mesh) => ({
    mesh,
    runs: [{ face: "outside" as const, call: -1, start: 0, count: mesh.triangles.length / 3 }],
  });
  return withScope((scope) => {
    const [own, its] = [scope.solid(whole(part)), scope.solid(whole(other))];
    return Math.max(
      ...WAYS.map((way) => scope.commonVolume(scope.move(own, [m[0] * way, m[1] * way, m[2] * way]), its)),
    );
  });
}
