import { LEAST_FACET } from "../tolerances.ts";
import type { Tagged } from "./kernel.ts";
import { facetArea } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import { Welder } from "./weld.ts";

/**
 * Brings what the kernel made back onto the snap grid and takes out facets with next to no area:
 * vertices that fall together are welded, and the long edge of a flat sliver is turned to the
 * other diagonal of the two facets beside it. The surface moves by no more than the snap grid.
 */
export function tidy({ mesh, runs }: Tagged): Tagged {
  const welder = new Welder(mesh.positions.length / 3);
  const { positions: p } = mesh;
  const welded = new Uint32Array(p.length / 3);
  for (let i = 0; i < welded.length; i++) welded[i] = welder.index(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  const triangles: number[] = [];
  const kept = runs.flatMap((run) => {
    const start = triangles.length / 3;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => welded[mesh.triangles[i + k]]);
      if (a !== b && b !== c && c !== a) triangles.push(a, b, c);
    }
    const count = triangles.length / 3 - start;
    return count > 0 ? [{ ...run, start, count }] : [];
  });
  const result: Mesh = { positions: welder.positions(), triangles: Uint32Array.from(triangles) };
  turnSlivers(result);
  return collapseSlivers({ mesh: result, runs: kept });
}

/** An edge no longer than this, mm, may go with the sliver it belongs to. */
const SHORT_EDGE = 0.02;

/** Slivers that no turned edge cures lose their shortest edge, where that joins nothing else. */
function collapseSlivers({ mesh, runs }: Tagged): Tagged {
  const { triangles: t } = mesh;
  for (let f = 0; f < t.length; f += 3) {
    if (t[f] === t[f + 1] || facetArea(mesh, f) > LEAST_FACET) continue;
    const e = [f, f + 1, f + 2].sort((i, k) => length2(mesh, i) - length2(mesh, k))[0];
    if (length2(mesh, e) > SHORT_EDGE ** 2) continue;
    const [a, b] = [t[e], t[next(e)]];
    const around = (v: number) => {
      const ring = new Set<number>();
      for (let i = 0; i < t.length; i += 3) {
        if (t[i] === v || t[i + 1] === v || t[i + 2] === v) for (let k = i; k < i + 3; k++) ring.add(t[k]);
      }
      return ring;
    };
    const ringB = around(b);
    const common = [...around(a)].filter((v) => v !== a && v !== b && ringB.has(v));
    if (common.length !== 2) continue;
    for (let i = 0; i < t.length; i++) if (t[i] === b) t[i] = a;
    for (let i = 0; i < t.length; i += 3) {
      // What has shrunk to a line is marked by equal corners and left out below.
      if (t[i] === t[i + 1] || t[i + 1] === t[i + 2] || t[i + 2] === t[i]) t.fill(a, i, i + 3);
    }
  }
  const triangles: number[] = [];
  const kept = runs.flatMap((run) => {
    const start = triangles.length / 3;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
      if (t[i] !== t[i + 1]) triangles.push(t[i], t[i + 1], t[i + 2]);
    }
    const count = triangles.length / 3 - start;
    return count > 0 ? [{ ...run, start, count }] : [];
  });
  return { mesh: { positions: mesh.positions, triangles: Uint32Array.from(triangles) }, runs: kept };
}

/** Twice the least facet that may be written, so that writing it elsewhere does not undercut it. */
const SLIVER = 2 * LEAST_FACET;

function turnSlivers(mesh: Mesh): void {
  const { triangles: t } = mesh;
  const count = mesh.positions.length / 3;
  const owner = new Map<number, number>();
  const key = (a: number, b: number) => a * count + b;
  for (let i = 0; i < t.length; i++) owner.set(key(t[i], t[next(i)]), i);
  for (let round = 0; round < 8; round++) {
    let turned = 0;
    for (let f = 0; f < t.length; f += 3) {
      if (facetArea(mesh, f) > SLIVER) continue;
      for (const e of [f, f + 1, f + 2].sort((i, k) => length2(mesh, k) - length2(mesh, i))) {
        if (turn(mesh, owner, key, e)) {
          turned++;
          break;
        }
      }
    }
    if (turned === 0) return;
  }
}

const next = (e: number) => (e % 3 === 2 ? e - 2 : e + 1);

function length2(mesh: Mesh, e: number): number {
  const { positions: p, triangles: t } = mesh;
  const a = 3 * t[e];
  const b = 3 * t[next(e)];
  return (p[a] - p[b]) ** 2 + (p[a + 1] - p[b + 1]) ** 2 + (p[a + 2] - p[b + 2]) ** 2;
}

/** Turns the edge between two facets to their other diagonal, where that leaves both larger than the smaller was. */
function turn(
  mesh: Mesh,
  owner: Map<number, number>,
  key: (a: number, b: number) => number,
  e: number,
): boolean {
  const { triangles: t } = mesh;
  const a = t[e];
  const b = t[next(e)];
  const other = owner.get(key(b, a));
  if (other === undefined) return false;
  const c = t[next(next(e))];
  const d = t[next(next(other))];
  if (c === d || owner.has(key(c, d)) || owner.has(key(d, c))) return false;
  const f = 3 * Math.floor(e / 3);
  const g = 3 * Math.floor(other / 3);
  const before = Math.min(facetArea(mesh, f), facetArea(mesh, g));
  const saved = [...t.slice(f, f + 3), ...t.slice(g, g + 3)];
  t.set([c, a, d], f);
  t.set([d, b, c], g);
  if (Math.min(facetArea(mesh, f), facetArea(mesh, g)) <= before || facesBack(mesh, f, g)) {
    t.set(saved.slice(0, 3), f);
    t.set(saved.slice(3), g);
    return false;
  }
  owner.delete(key(a, b));
  owner.delete(key(b, a));
  for (const start of [f, g]) for (let k = start; k < start + 3; k++) owner.set(key(t[k], t[next(k)]), k);
  return true;
}

/** Whether two facets with a common edge face away from each other, as folded ones do. */
function facesBack(mesh: Mesh, f: number, g: number): boolean {
  const { positions: p, triangles: t } = mesh;
  const normal = (i: number) => {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    return [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  };
  const m = normal(f);
  const n = normal(g);
  return m[0] * n[0] + m[1] * n[1] + m[2] * n[2] < 0;
}
