import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import Module, { type CrossSection, type Manifold, type ManifoldToplevel } from "manifold-3d";
import type { Mesh } from "./mesh.ts";
import type { Face, FaceRun, Tagged } from "./tagged.ts";
import { Welder } from "./weld.ts";

/**
 * The only importer of the solid kernel. It checks what goes in, and status, emptiness and volume
 * of what comes out; everything lives in a scope that frees it, since the kernel's memory is not
 * garbage-collected.
 */
let loaded: ManifoldToplevel | null = null;

/** Loads the kernel once; everything else here needs it. */
export async function loadKernel(): Promise<void> {
  if (loaded) return;
  const kernel = await Module({ wasmBinary: readFileSync(wasmPath()).buffer } as unknown as undefined);
  kernel.setup();
  loaded = kernel;
}

/** Beside the bundle in a shipped product, in the package otherwise. */
function wasmPath(): string {
  const beside = fileURLToPath(new URL("./manifold.wasm", import.meta.url));
  return existsSync(beside) ? beside : fileURLToPath(import.meta.resolve("manifold-3d/manifold.wasm"));
}

function kernel(): ManifoldToplevel {
  if (!loaded) throw new Error("the solid kernel is not loaded");
  return loaded;
}

/** Something solid that lives as long as its scope. */
export interface Solid {
  readonly volume: number;
}

class Held implements Solid {
  readonly inner: Manifold;

  constructor(inner: Manifold) {
    this.inner = inner;
  }

  get volume(): number {
    return this.inner.volume();
  }
}

/** A region of a plane that lives as long as its scope. */
export interface Flat {
  /** mm². */
  readonly area: number;
}

class HeldFlat implements Flat {
  readonly inner: CrossSection;

  constructor(inner: CrossSection) {
    this.inner = inner;
  }

  get area(): number {
    return this.inner.area();
  }
}

/** A surface with a normal at each vertex; a vertex on an edge is there once for each side. */
export interface NormalMesh extends Mesh {
  normals: Float64Array;
}

type Tag = Pick<FaceRun, "face" | "call">;
type Triple = readonly [number, number, number];

/** Steps of a full turn where a region grows around its corners. */
const ROUND_STEPS = 64;

/** A corner sharper than 60° is cut square when it grows. */
const MITER_LIMIT = 2;

const inner = (solid: Solid): Manifold => (solid as Held).inner;
const innerFlat = (flat: Flat): CrossSection => (flat as HeldFlat).inner;

export class Scope {
  readonly #held: Manifold[] = [];
  readonly #heldFlats: CrossSection[] = [];
  readonly #faces = new Map<number, Pick<FaceRun, "face" | "call">>();

  /** A closed, outward-facing mesh as a solid; each run keeps its face through what follows. */
  solid({ mesh, runs }: Tagged): Solid {
    const { positions, triangles } = mesh;
    for (const value of positions)
      if (!Number.isFinite(value)) throw new Error("a mesh holds a number that is not finite");
    const { Manifold, Mesh: KernelMesh } = kernel();
    const firstId = Manifold.reserveIDs(Math.max(1, runs.length));
    runs.forEach(({ face, call }, i) => this.#faces.set(firstId + i, { face, call }));
    const input = new KernelMesh({
      numProp: 3,
      vertProperties: Float32Array.from(positions),
      triVerts: triangles,
      runIndex: Uint32Array.from([...runs.map((run) => 3 * run.start), triangles.length]),
      runOriginalID: Uint32Array.from(runs, (_, i) => firstId + i),
    });
    return this.#hold(new Manifold(input), "a mesh");
  }

  /** A closed surface with its normals as a solid of one face; `facets` reads them back after any cut. */
  surface(surface: NormalMesh, tag: Tag): Solid {
    const { positions: p, normals: n, triangles } = surface;
    const { Manifold, Mesh: KernelMesh } = kernel();
    const count = p.length / 3;
    const properties = new Float32Array(6 * count);
    const welder = new Welder(count);
    const first = new Map<number, number>();
    const from: number[] = [];
    const to: number[] = [];
    for (let i = 0; i < count; i++) {
      for (let k = 0; k < 3; k++) {
        if (!Number.isFinite(p[3 * i + k])) throw new Error("a surface holds a number that is not finite");
        properties[6 * i + k] = p[3 * i + k];
        properties[6 * i + 3 + k] = n[3 * i + k];
      }
      const place = welder.index(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
      const known = first.get(place);
      if (known === undefined) first.set(place, i);
      else {
        from.push(i);
        to.push(known);
      }
    }
    const id = Manifold.reserveIDs(1);
    this.#faces.set(id, tag);
    const input = new KernelMesh({
      numProp: 6,
      vertProperties: properties,
      triVerts: triangles,
      mergeFromVert: Uint32Array.from(from),
      mergeToVert: Uint32Array.from(to),
      runIndex: Uint32Array.from([0, triangles.length]),
      runOriginalID: Uint32Array.from([id]),
    });
    return this.#hold(new Manifold(input), "a surface");
  }

  /**
   * What is left of one face of a solid, with the normals of its `surface`, which no `place` turns;
   * where it had none, those of its facets.
   */
  facets(solid: Solid, face: Face): NormalMesh {
    const out = inner(solid).getMesh();
    const { numProp: width, vertProperties: properties, triVerts, runIndex } = out;
    const triangles: number[] = [];
    const positions: number[] = [];
    const normals: number[] = [];
    const used = new Map<number, number>();
    const add = (v: number, n: ArrayLike<number>): number => {
      positions.push(...properties.subarray(width * v, width * v + 3));
      const length = Math.hypot(n[0], n[1], n[2]) || 1;
      normals.push(n[0] / length, n[1] / length, n[2] / length);
      return positions.length / 3 - 1;
    };
    const normalAt = (v: number) => properties.subarray(width * v + 3, width * v + 6);
    const has = (v: number) => width >= 6 && Math.hypot(...normalAt(v)) > 0.5;
    for (let i = 0; i < out.runOriginalID.length; i++) {
      if (this.#faces.get(out.runOriginalID[i])?.face !== face) continue;
      for (let k = runIndex[i]; k < runIndex[i + 1]; k += 3) {
        const corners = [triVerts[k], triVerts[k + 1], triVerts[k + 2]];
        if (corners.every(has)) {
          for (const v of corners) {
            let index = used.get(v);
            if (index === undefined) used.set(v, (index = add(v, normalAt(v))));
            triangles.push(index);
          }
          continue;
        }
        const [a, b, c] = corners.map((v) => properties.subarray(width * v, width * v + 3));
        const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
        const w = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
        const n = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
        if (Math.hypot(n[0], n[1], n[2]) < 1e-12) continue;
        for (const v of corners) triangles.push(add(v, n));
      }
    }
    return {
      positions: Float64Array.from(positions),
      normals: Float64Array.from(normals),
      triangles: Uint32Array.from(triangles),
    };
  }

  /** The same solid with all its facets of one origin. */
  retag(solid: Solid, tag: Tag): Solid {
    const original = this.#hold(inner(solid).asOriginal(), "a solid");
    this.#faces.set(original.inner.originalID(), tag);
    return original;
  }

  bounds(solid: Solid): { min: [number, number, number]; max: [number, number, number] } {
    const { min, max } = inner(solid).boundingBox();
    return { min: [min[0], min[1], min[2]], max: [max[0], max[1], max[2]] };
  }

  /** What a solid covers seen from above. */
  shadow(solid: Solid): Flat {
    return this.#holdFlat(inner(solid).project());
  }

  /** Several solids that may overlap, as one. */
  union(solids: readonly Solid[]): Solid {
    return solids.length === 1
      ? solids[0]
      : this.#hold(kernel().Manifold.union(solids.map(inner)), "a union");
  }

  /** A solid in another frame: its x, y and z axes become these, its origin `at`; all mm, square to each other. */
  place(solid: Solid, x: Triple, y: Triple, z: Triple, at: Triple): Solid {
    const matrix = [...x, 0, ...y, 0, ...z, 0, ...at, 1] as Parameters<Manifold["transform"]>[0];
    return this.#hold(inner(solid).transform(matrix), "a turned solid");
  }

  /** The level section of a solid at a height, mm. */
  section(solid: Solid, z: number): Flat {
    return this.#holdFlat(inner(solid).slice(z));
  }

  /** A region widened by `mm` with round corners, or narrowed when negative. */
  grow(flat: Flat, mm: number): Flat {
    return this.#holdFlat(innerFlat(flat).offset(mm, "Round", 2, ROUND_STEPS));
  }

  flatWithout(a: Flat, b: Flat): Flat {
    return this.#holdFlat(innerFlat(a).subtract(innerFlat(b)));
  }

  flatBoth(a: Flat, b: Flat): Flat {
    return this.#holdFlat(innerFlat(a).add(innerFlat(b)));
  }

  /** A region from loops, xy pairs, counter-clockwise around what is in it. */
  flat(loops: readonly (readonly (readonly [number, number])[])[]): Flat {
    const { CrossSection } = kernel();
    return this.#holdFlat(
      new CrossSection(
        loops.map((loop) => loop.map(([x, y]) => [x, y] as [number, number])),
        "NonZero",
      ),
    );
  }

  loops(flat: Flat): [number, number][][] {
    return innerFlat(flat).toPolygons();
  }

  /** A region as a prism from z = 0 up. */
  raise(flat: Flat, height: number, tag: Tag): Solid {
    return this.#tagged(innerFlat(flat).extrude(height), tag, "a prism");
  }

  #tagged(made: Manifold, tag: Tag, what: string): Solid {
    const original = this.#hold(made, what).inner.asOriginal();
    this.#faces.set(original.originalID(), tag);
    return this.#hold(original, what);
  }

  /** Several solids that do not touch, as one. */
  compose(solids: readonly Solid[]): Solid {
    return this.#hold(kernel().Manifold.compose(solids.map(inner)), "loose solids");
  }

  /** The pieces of a solid that do not touch one another. */
  apart(solid: Solid): Solid[] {
    const pieces = inner(solid).decompose();
    this.#held.push(...pieces);
    // What is left over from cutting may have none.
    return pieces.filter((piece) => piece.volume() > 0).map((piece) => new Held(piece));
  }

  /** The pieces of a region that do not touch one another. */
  flatsApart(flat: Flat): Flat[] {
    return innerFlat(flat)
      .decompose()
      .map((piece) => this.#holdFlat(piece));
  }

  /** A region with fewer corners, its border nowhere further than about `chord` mm from where it was. */
  plainer(flat: Flat, chord: number): Flat {
    return this.#holdFlat(innerFlat(flat).simplify(chord));
  }

  /** A region without what lies outside of another. */
  flatWithin(a: Flat, b: Flat): Flat {
    return this.#holdFlat(innerFlat(a).intersect(innerFlat(b)));
  }

  add(a: Solid, b: Solid): Solid {
    return this.#hold(inner(a).add(inner(b)), "a union");
  }

  /** What both fill; null where that is nothing. */
  common(a: Solid, b: Solid): Solid | null {
    const made = inner(a).intersect(inner(b));
    this.#held.push(made);
    if (made.status() !== "NoError") throw new Error(`the kernel could not intersect: ${made.status()}`);
    return made.isEmpty() || !(made.volume() > 0) ? null : new Held(made);
  }

  subtract(a: Solid, b: Solid): Solid {
    return this.#hold(inner(a).subtract(inner(b)), "a difference");
  }

  intersect(a: Solid, b: Solid): Solid {
    return this.#hold(inner(a).intersect(inner(b)), "an intersection");
  }

  /** An upright box between two corners, mm. */
  box(
    min: readonly [number, number, number],
    max: readonly [number, number, number],
    tag: Pick<FaceRun, "face" | "call">,
  ): Solid {
    const [w, d, h] = max.map((value, i) => value - min[i]);
    if (!(w > 0 && d > 0 && h > 0)) throw new Error("a box with no size");
    const made = this.#hold(kernel().Manifold.cube([w, d, h]), "a box");
    const placed = this.#hold(made.inner.translate([min[0], min[1], min[2]]), "a box");
    const original = this.#hold(placed.inner.asOriginal(), "a box");
    this.#faces.set(original.inner.originalID(), tag);
    return original;
  }

  /** Volume that both fill, mm³; nothing in common is 0. */
  commonVolume(a: Solid, b: Solid): number {
    const common = inner(a).intersect(inner(b));
    this.#held.push(common);
    const status = common.status();
    if (status !== "NoError") throw new Error(`the kernel could not intersect: ${status}`);
    return common.isEmpty() ? 0 : common.volume();
  }

  /** With fewer facets, nowhere further than `chord` mm from where it was. */
  simplified(solid: Solid, chord: number): Solid {
    return this.#hold(inner(solid).simplify(chord), "a simpler solid");
  }

  move(solid: Solid, by: readonly [number, number, number]): Solid {
    return this.#hold(inner(solid).translate([by[0], by[1], by[2]]), "a moved solid");
  }

  /**
   * A loop in plan `grow` mm wider, with sharp corners kept sharp: counter-clockwise outlines, and
   * clockwise ones around holes.
   */
  grown(loop: readonly (readonly [number, number])[], grow: number): [number, number][][] {
    const outline = new (kernel().CrossSection)([loop.map(([x, y]) => [x, y] as [number, number])]);
    const grown = outline.offset(grow, "Miter", MITER_LIMIT);
    const polygons = grown.toPolygons().map((polygon) => polygon.map(([x, y]): [number, number] => [x, y]));
    outline.delete();
    grown.delete();
    return polygons;
  }

  /**
   * A level prism from z = 0 up. `loop` is counter-clockwise, xy pairs; `grow` mm widens it first,
   * with sharp corners kept sharp.
   */
  prism(
    loop: readonly (readonly [number, number])[],
    grow: number,
    height: number,
    tag: Pick<FaceRun, "face" | "call">,
  ): Solid {
    const { CrossSection } = kernel();
    const outline = new CrossSection([loop.map(([x, y]) => [x, y] as [number, number])]);
    const grown = outline.offset(grow, "Miter", MITER_LIMIT);
    const made = grown.extrude(height);
    outline.delete();
    grown.delete();
    const original = this.#hold(made, "a prism").inner.asOriginal();
    this.#faces.set(original.originalID(), tag);
    return this.#hold(original, "a prism");
  }

  /** The solid as a mesh, with the faces that its triangles came from. */
  mesh(solid: Solid): Tagged {
    const out = inner(solid).getMesh();
    const width = out.numProp;
    const positions = new Float64Array((3 * out.vertProperties.length) / width);
    for (let i = 0, v = 0; v < out.vertProperties.length; i += 3, v += width)
      for (let k = 0; k < 3; k++) positions[i + k] = out.vertProperties[v + k];
    const runs: FaceRun[] = [];
    for (let i = 0; i < out.runOriginalID.length; i++) {
      const tag = this.#faces.get(out.runOriginalID[i]);
      if (!tag) throw new Error("the kernel gave a face that nobody put in");
      const start = out.runIndex[i] / 3;
      const count = out.runIndex[i + 1] / 3 - start;
      if (count > 0) runs.push({ ...tag, start, count });
    }
    return { mesh: { positions: mergeVertices(positions, out), triangles: mergeTriangles(out) }, runs };
  }

  #holdFlat(made: CrossSection): HeldFlat {
    this.#heldFlats.push(made);
    return new HeldFlat(made);
  }

  #hold(made: Manifold, what: string): Held {
    this.#held.push(made);
    const status = made.status();
    if (status !== "NoError") throw new Error(`the kernel refused ${what}: ${status}`);
    if (made.isEmpty() || !(made.volume() > 0)) throw new Error(`the kernel made ${what} with no volume`);
    return new Held(made);
  }

  free(): void {
    for (const made of this.#held.splice(0)) made.delete();
    for (const made of this.#heldFlats.splice(0)) made.delete();
  }
}

interface Merging {
  triVerts: Uint32Array;
  mergeFromVert: Uint32Array;
  mergeToVert: Uint32Array;
}

/** The kernel doubles vertices where faces of different origin meet and says which are one. */
function mergeTriangles(out: Merging): Uint32Array {
  const same = new Map<number, number>();
  out.mergeFromVert.forEach((from, i) => same.set(from, out.mergeToVert[i]));
  return out.triVerts.map((vertex) => same.get(vertex) ?? vertex);
}

function mergeVertices(positions: Float64Array, out: Merging): Float64Array {
  out.mergeFromVert.forEach((from, i) => {
    const to = out.mergeToVert[i];
    positions.copyWithin(3 * from, 3 * to, 3 * to + 3);
  });
  return positions;
}

/** Runs `work` with a scope whose solids are freed when it ends. */
export function withScope<T>(work: (scope: Scope) => T): T {
  const scope = new Scope();
  try {
    return work(scope);
  } finally {
    scope.free();
  }
}
