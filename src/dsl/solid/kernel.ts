import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import Module, { type Manifold, type ManifoldToplevel } from "manifold-3d";
import type { FaceRun, Tagged } from "./tagged.ts";

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

/** A corner sharper than 60° is cut square when it grows. */
const MITER_LIMIT = 2;

const inner = (solid: Solid): Manifold => (solid as Held).inner;

export class Scope {
  readonly #held: Manifold[] = [];
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

  /** Several solids that do not touch, as one. */
  compose(solids: readonly Solid[]): Solid {
    return this.#hold(kernel().Manifold.compose(solids.map(inner)), "loose solids");
  }

  add(a: Solid, b: Solid): Solid {
    return this.#hold(inner(a).add(inner(b)), "a union");
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
    const positions = Float64Array.from(out.vertProperties);
    if (out.numProp !== 3) throw new Error(`the kernel gave ${out.numProp} numbers a vertex`);
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

  #hold(made: Manifold, what: string): Held {
    this.#held.push(made);
    const status = made.status();
    if (status !== "NoError") throw new Error(`the kernel refused ${what}: ${status}`);
    if (made.isEmpty() || !(made.volume() > 0)) throw new Error(`the kernel made ${what} with no volume`);
    return new Held(made);
  }

  free(): void {
    for (const made of this.#held.splice(0)) made.delete();
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
