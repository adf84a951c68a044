import type { CallId } from "../../../shared/place.ts";

import { triangulateLoops } from "./cap.ts";
import type { Mesh } from "./mesh.ts";
import { Welder } from "./weld.ts";
import type { Face, FaceRun } from "./tagged.ts";

/** Collects triangles by face into one welded mesh with runs of equal face. */
export class MeshBuilder {
  readonly #welder: Welder;
  readonly #faces = new Map<string, { face: Face; call: CallId; triangles: number[] }>();
  #current: number[] = [];

  constructor(expected?: number) {
    this.#welder = new Welder(expected);
  }

  /** What follows belongs to this face. */
  face(face: Face, call: CallId): void {
    const key = `${face} ${call}`;
    let entry = this.#faces.get(key);
    if (!entry) {
      entry = { face, call, triangles: [] };
      this.#faces.set(key, entry);
    }
    this.#current = entry.triangles;
  }

  vertex(x: number, y: number, z: number): number {
    return this.#welder.index(x, y, z);
  }

  /** A triangle by vertex numbers; one that has shrunk to a line is left out. */
  triangle(a: number, b: number, c: number): void {
    if (a !== b && b !== c && c !== a) this.#current.push(a, b, c);
  }

  /** Two triangles over a, b (below) and d, c (above); the diagonal runs from a to c. */
  quad(a: number, b: number, c: number, d: number): void {
    this.triangle(a, b, c);
    this.triangle(a, c, d);
  }

  /** Height of a vertex, mm. */
  z(vertex: number): number {
    return this.#welder.z(vertex);
  }

  /** A level face over loops of vertices, seen from above when `up`. No loops give no face. */
  cap(loops: readonly (readonly number[])[], up: boolean): void {
    if (loops.length === 0) return;
    const distinct = loops.map((loop) => loop.filter((v, i) => v !== loop[(i + 1) % loop.length]));
    const vertices = distinct.flat();
    const triangles = triangulateLoops(
      distinct.map((loop) => loop.flatMap((v) => [this.#welder.x(v), this.#welder.y(v)])),
    );
    for (let i = 0; i < triangles.length; i += 3) {
      const [a, b, c] = [vertices[triangles[i]], vertices[triangles[i + 1]], vertices[triangles[i + 2]]];
      if (up) this.triangle(a, b, c);
      else this.triangle(a, c, b);
    }
  }

  finish(): { mesh: Mesh; runs: FaceRun[] } {
    const runs: FaceRun[] = [];
    let total = 0;
    for (const { face, call, triangles } of this.#faces.values()) {
      if (triangles.length === 0) continue;
      runs.push({ face, call, start: total, count: triangles.length / 3 });
      total += triangles.length / 3;
    }
    const all = new Uint32Array(3 * total);
    let at = 0;
    for (const { triangles } of this.#faces.values()) {
      all.set(triangles, at);
      at += triangles.length;
    }
    return { mesh: { positions: this.#welder.positions(), triangles: all }, runs };
  }
}
