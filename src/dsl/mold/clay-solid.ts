import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Tagged } from "../solid/tagged.ts";

/**
 * The cavity as one closed solid, made of the very triangles of the plastic around it, so that clay
 * and plastic meet without gap or overlap. What no plastic covers (mouth, open base, the gap around
 * a floor) is closed by level caps.
 */
export function buildClay(plastic: readonly Tagged[], body: CallId): Tagged {
  const builder = new MeshBuilder();
  const border = new Map<number, Set<number>>();
  const edge = (from: number, to: number) => {
    if (border.get(to)?.delete(from)) return;
    const ends = border.get(from);
    if (ends) ends.add(to);
    else border.set(from, new Set([to]));
  };
  builder.face("cavity", body);
  for (const { mesh, runs } of plastic) {
    const { positions: p, triangles: t } = mesh;
    const vertex = (i: number) => builder.vertex(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
    for (const run of runs) {
      if (run.face !== "cavity") continue;
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
        const [a, b, c] = [vertex(t[i]), vertex(t[i + 2]), vertex(t[i + 1])];
        builder.triangle(a, b, c);
        edge(a, b);
        edge(b, c);
        edge(c, a);
      }
    }
  }
  const loops = loopsOf(border);
  const foot = loops.filter((loop) => builder.z(loop[0]) === 0);
  const rim = loops.filter((loop) => builder.z(loop[0]) !== 0);
  // Seen from above, edges of the side run counter-clockwise along the foot and clockwise along the rim.
  builder.face("foot", body);
  builder.cap(foot, false);
  builder.face("rim", body);
  builder.cap(
    rim.map((loop) => [...loop].reverse()),
    true,
  );
  return builder.finish();
}

function loopsOf(border: Map<number, Set<number>>): number[][] {
  const loops: number[][] = [];
  for (const [start, ends] of border) {
    while (ends.size > 0) {
      const loop: number[] = [];
      let at = start;
      do {
        const next: number | undefined = border.get(at)?.values().next().value;
        if (next === undefined) throw new Error("the side of the clay has a border that does not close");
        border.get(at)!.delete(next);
        loop.push(at);
        at = next;
      } while (at !== start);
      loops.push(loop);
    }
  }
  return loops;
}
