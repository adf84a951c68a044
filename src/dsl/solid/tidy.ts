import { LEAST_FACET } from "../tolerances.ts";

import { facetArea, facetCross } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import { Welder } from "./weld.ts";
import type { Tagged } from "./tagged.ts";
import { untouched } from "./untouch.ts";

/**
 * Brings what the kernel made back onto the snap grid and takes out facets with next to no area:
 * vertices that fall together are welded, and the long edge of a flat sliver is turned to the
 * other diagonal of the two facets beside it; what then touches itself is drawn apart. The surface moves by
 * no more than a step or two of the snap grid.
 */
export function tidy({ mesh, runs }: Tagged): Tagged {
  const welder = new Welder(mesh.positions.length / 3);
  const { positions: p } = mesh;
  const welded = new Uint32Array(p.length / 3);
  for (let i = 0; i < welded.length; i++) welded[i] = welder.index(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  const indices = mesh.triangles.map((vertex) => welded[vertex]);
  const joined = joinedVertices(welded);
  let whole = withoutLines({ mesh: { positions: welder.positions(), triangles: indices }, runs });
  if (removeFlaps(whole.mesh, joined)) whole = withoutLines(whole);
  turnSlivers(whole.mesh);
  const collapsed = collapseSlivers(whole);
  // What has lost an edge may have left others flat.
  if (collapsed !== whole) turnSlivers(collapsed.mesh);
  return untouched(collapsed, joined);
}

/** Vertices into which several have been welded. */
function joinedVertices(welded: Uint32Array): Set<number> {
  const seen = new Uint8Array(welded.length);
  const joined = new Set<number>();
  for (const vertex of welded) {
    if (seen[vertex]) joined.add(vertex);
    seen[vertex] = 1;
  }
  return joined;
}

/**
 * Where vertices have been welded, two facets may lie back to back on the same three corners: they
 * enclose nothing and are shrunk to a line, to be left out.
 */
function removeFlaps({ triangles: t }: Mesh, joined: ReadonlySet<number>): boolean {
  if (joined.size === 0) return false;
  let removed = false;
  const sides = new Map<string, number>();
  for (let f = 0; f < t.length; f += 3) {
    if (!joined.has(t[f]) && !joined.has(t[f + 1]) && !joined.has(t[f + 2])) continue;
    const corners = [t[f], t[f + 1], t[f + 2]];
    const key = corners.sort((a, b) => a - b).join(" ");
    const other = sides.get(key);
    if (other === undefined) {
      sides.set(key, f);
      continue;
    }
    t.fill(t[f], f, f + 3);
    t.fill(t[other], other, other + 3);
    sides.delete(key);
    removed = true;
  }
  return removed;
}

/** Without the triangles whose corners have fallen together. */
function withoutLines({ mesh, runs }: Tagged): Tagged {
  const t = mesh.triangles;
  const left = new Uint32Array(t.length);
  let end = 0;
  const kept = runs.flatMap((run) => {
    const start = end / 3;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
      const a = t[i];
      const b = t[i + 1];
      const c = t[i + 2];
      if (a === b || b === c || c === a) continue;
      left[end] = a;
      left[end + 1] = b;
      left[end + 2] = c;
      end += 3;
    }
    const count = end / 3 - start;
    return count > 0 ? [{ ...run, start, count }] : [];
  });
  return { mesh: { positions: mesh.positions, triangles: left.slice(0, end) }, runs: kept };
}

/** An edge no longer than this, mm, may go with the sliver it belongs to. */
const SHORT_EDGE = 0.02;

/**
 * Slivers that no turned edge cures lose their shortest edge, or the next one where that would join
 * what is apart. What is left beside them may be a sliver then, so this goes on while it helps.
 */
function collapseSlivers(solid: Tagged): Tagged {
  const { mesh } = solid;
  const { triangles: t } = mesh;
  let collapsed = false;
  for (let round = 0; round < 8; round++) {
    let again = false;
    for (let f = 0; f < t.length; f += 3) {
      if (t[f] === t[f + 1] || t[f + 1] === t[f + 2] || t[f + 2] === t[f]) continue;
      if (facetArea(mesh, f) > LEAST_FACET) continue;
      const edges = [f, f + 1, f + 2].sort((i, k) => length2(mesh, i) - length2(mesh, k));
      if (edges.some((e) => length2(mesh, e) <= SHORT_EDGE ** 2 && collapse(t, t[e], t[next(e)])))
        again = true;
    }
    if (!again) break;
    collapsed = true;
  }
  return collapsed ? withoutLines(solid) : solid;
}

/** Puts vertex `a` in place of `b` unless that would join more than the two facets between them. */
function collapse(t: Uint32Array, a: number, b: number): boolean {
  const around = (v: number) => {
    const ring = new Set<number>();
    for (let i = 0; i < t.length; i += 3) {
      if (t[i] === t[i + 1] || t[i + 1] === t[i + 2] || t[i + 2] === t[i]) continue;
      if (t[i] === v || t[i + 1] === v || t[i + 2] === v) for (let k = i; k < i + 3; k++) ring.add(t[k]);
    }
    return ring;
  };
  const ringB = around(b);
  const common = [...around(a)].filter((v) => v !== a && v !== b && ringB.has(v));
  if (common.length !== 2) return false;
  for (let i = 0; i < t.length; i++) if (t[i] === b) t[i] = a;
  return true;
}

/** Twice the least facet that may be written, so that writing it elsewhere does not undercut it. */
const SLIVER = 2 * LEAST_FACET;

function turnSlivers(mesh: Mesh): void {
  const { triangles: t } = mesh;
  const count = mesh.positions.length / 3;
  const key = (a: number, b: number) => a * count + b;
  for (let round = 0; round < 8; round++) {
    const slivers: number[] = [];
    for (let f = 0; f < t.length; f += 3) if (facetArea(mesh, f) <= SLIVER) slivers.push(f);
    if (slivers.length === 0) return;
    const owner = edgesNear(t, slivers, key);
    // A facet that was turned may have a corner whose edges nobody looked up: it waits for the next round.
    const turned = new Set<number>();
    for (const f of slivers) {
      if (turned.has(f)) continue;
      for (const e of [f, f + 1, f + 2].sort((i, k) => length2(mesh, k) - length2(mesh, i))) {
        const other = turn(mesh, owner, key, e);
        if (other < 0) continue;
        turned.add(f).add(other);
        break;
      }
    }
    if (turned.size === 0) return;
  }
}

/** Half-edges of all facets that share a corner with one of these. */
function edgesNear(t: Uint32Array, facets: readonly number[], key: (a: number, b: number) => number) {
  const corners = new Set(facets.flatMap((f) => [t[f], t[f + 1], t[f + 2]]));
  const owner = new Map<number, number>();
  for (let f = 0; f < t.length; f += 3) {
    if (!corners.has(t[f]) && !corners.has(t[f + 1]) && !corners.has(t[f + 2])) continue;
    for (let i = f; i < f + 3; i++) owner.set(key(t[i], t[next(i)]), i);
  }
  return owner;
}

const next = (e: number) => (e % 3 === 2 ? e - 2 : e + 1);

function length2(mesh: Mesh, e: number): number {
  const { positions: p, triangles: t } = mesh;
  const a = 3 * t[e];
  const b = 3 * t[next(e)];
  return (p[a] - p[b]) ** 2 + (p[a + 1] - p[b + 1]) ** 2 + (p[a + 2] - p[b + 2]) ** 2;
}

/**
 * Turns the edge between two facets to their other diagonal, where that leaves both larger than the
 * smaller was. Gives the other facet, or −1 where nothing was turned.
 */
function turn(
  mesh: Mesh,
  owner: Map<number, number>,
  key: (a: number, b: number) => number,
  e: number,
): number {
  const { triangles: t } = mesh;
  const a = t[e];
  const b = t[next(e)];
  const other = owner.get(key(b, a));
  if (other === undefined) return -1;
  const c = t[next(next(e))];
  const d = t[next(next(other))];
  if (c === d || owner.has(key(c, d)) || owner.has(key(d, c))) return -1;
  const f = 3 * Math.floor(e / 3);
  const g = 3 * Math.floor(other / 3);
  const before = Math.min(facetArea(mesh, f), facetArea(mesh, g));
  const saved = [...t.slice(f, f + 3), ...t.slice(g, g + 3)];
  t.set([c, a, d], f);
  t.set([d, b, c], g);
  if (Math.min(facetArea(mesh, f), facetArea(mesh, g)) <= before || facesBack(mesh, f, g)) {
    t.set(saved.slice(0, 3), f);
    t.set(saved.slice(3), g);
    return -1;
  }
  owner.delete(key(a, b));
  owner.delete(key(b, a));
  for (const start of [f, g]) for (let k = start; k < start + 3; k++) owner.set(key(t[k], t[next(k)]), k);
  return g;
}

/** Whether two facets with a common edge face away from each other, as folded ones do. */
function facesBack(mesh: Mesh, f: number, g: number): boolean {
  const m = facetCross(mesh, f);
  const n = facetCross(mesh, g);
  return m[0] * n[0] + m[1] * n[1] + m[2] * n[2] < 0;
}
