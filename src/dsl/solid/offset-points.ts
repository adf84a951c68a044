import type { Field } from "./distance.ts";
import type { Mesh } from "./mesh.ts";
import { NearestTriangle } from "./nearest-triangle.ts";

/** Rounds in which a point between several triangles finds its place. */
const ROUNDS = 4;
/** A point this near to its place is there, mm. */
const CLOSE = 1e-4;
/** A point on the mesh itself shows no way out, mm. */
const ON_IT = 1e-9;

/** Corners of a surface at a distance from a mesh: which triangle each has nearest, and where it lies from there. */
export class OffsetPoints {
  readonly #nearest: NearestTriangle;
  readonly #by: number;
  readonly #field: Field;
  /** Of each corner a unit vector to its nearest point of the mesh; nothing but zeros where it has not been settled. */
  readonly normals: number[];
  readonly triangles: number[];

  constructor(mesh: Mesh, by: number, field: Field, count: number) {
    this.#nearest = new NearestTriangle(mesh);
    this.#by = by;
    this.#field = field;
    this.normals = new Array<number>(3 * count).fill(0);
    this.triangles = new Array<number>(count).fill(-1);
  }

  /**
   * Puts a corner where it belongs, unless that is further than `most`, mm. Gives how far it went.
   *
   * @param known triangles near it
   */
  settle(index: number, p: { [i: number]: number }, known: readonly number[], most: number): number {
    const { away } = this.#nearest;
    const at = 3 * index;
    const [fromX, fromY, fromZ] = [p[at], p[at + 1], p[at + 2]];
    const around = this.#around(fromX, fromY, fromZ, known);
    if (!around) return 0;
    let x = fromX;
    let y = fromY;
    let z = fromZ;
    for (let round = 0; round < ROUNDS; round++) {
      const distance = this.#nearest.look(around, x, y, z);
      if (!(distance > ON_IT) || !Number.isFinite(distance)) return 0;
      for (let axis = 0; axis < 3; axis++) this.normals[at + axis] = away[axis] / distance;
      const move = (distance - this.#by) / distance;
      x += away[0] * move;
      y += away[1] * move;
      z += away[2] * move;
      if (Math.abs(distance - this.#by) < CLOSE) break;
    }
    this.triangles[index] = this.#nearest.triangle;
    const moved = Math.hypot(x - fromX, y - fromY, z - fromZ);
    if (!(moved < most)) return 0;
    p[at] = x;
    p[at + 1] = y;
    p[at + 2] = z;
    return moved;
  }

  /** Triangles that the field knows near a place; null in its lowest and its highest layer, where it ends. */
  #around(x: number, y: number, z: number, known: readonly number[]): number[] | null {
    const { origin, step, counts, nearest } = this.#field;
    const [nx, ny, nz] = counts;
    const i = Math.min(nx - 2, Math.max(0, Math.floor((x - origin[0]) / step)));
    const j = Math.min(ny - 2, Math.max(0, Math.floor((y - origin[1]) / step)));
    const k = Math.min(nz - 2, Math.max(0, Math.floor((z - origin[2]) / step)));
    if (k === 0 || k === nz - 2) return null;
    const found = [...known];
    const base = (k * ny + j) * nx + i;
    for (let corner = 0; corner < 8; corner++) {
      const t = nearest[base + (corner & 1) + nx * (((corner >> 1) & 1) + ny * (corner >> 2))];
      if (t >= 0 && !found.includes(t)) found.push(t);
    }
    return found;
  }
}
