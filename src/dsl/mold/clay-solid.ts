import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { FaceRun } from "./model.ts";

/**
 * The cavity as one closed solid, made of the very triangles of the walls around it, so that clay
 * and plastic meet without gap or overlap. `foot` is its underside when something else gave it one.
 */
export function buildClay(
  walls: readonly { mesh: Mesh; runs: FaceRun[] }[],
  body: CallId,
  height: number,
): { mesh: Mesh; runs: FaceRun[] } {
  const builder = new MeshBuilder();
  builder.face("cavity", body);
  const next = new Map<number, number>();
  for (const { mesh, runs } of walls) {
    const { positions: p, triangles: t } = mesh;
    const vertex = (i: number) => builder.vertex(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
    for (const run of runs) {
      if (run.face !== "cavity") continue;
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
        const [a, b, c] = [vertex(t[i]), vertex(t[i + 1]), vertex(t[i + 2])];
        builder.triangle(a, c, b);
        // An edge of the side surface that lies in foot or rim bounds the cap there.
        for (const [from, to, zf, zt] of [
          [a, c, p[3 * t[i] + 2], p[3 * t[i + 2] + 2]],
          [c, b, p[3 * t[i + 2] + 2], p[3 * t[i + 1] + 2]],
          [b, a, p[3 * t[i + 1] + 2], p[3 * t[i] + 2]],
        ]) {
          if (zf === zt && (zf === 0 || zf === height)) next.set(from, to);
        }
      }
    }
  }
  // Underside edges run counter-clockwise from above, rim edges clockwise.
  for (const loop of loopsOf(next)) {
    const level = builder.z(loop[0]);
    builder.face(level === 0 ? "foot" : "rim", body);
    if (level === 0) builder.cap([loop], false);
    else builder.cap([[...loop].reverse()], true);
  }
  return builder.finish();
}

function loopsOf(next: Map<number, number>): number[][] {
  const loops: number[][] = [];
  const open = new Set(next.keys());
  for (const start of next.keys()) {
    if (!open.has(start)) continue;
    const loop: number[] = [];
    for (let at = start; open.delete(at); at = next.get(at)!) loop.push(at);
    loops.push(loop);
  }
  return loops;
}
