import { SNAP } from "../tolerances.ts";

export const snap = (value: number): number => Math.round(value / SNAP) * SNAP;

/** Numbers the distinct points of a mesh: points on one place of the snap grid get one index. */
export class Welder {
  #table: Int32Array;
  #mask: number;
  #coordinates: Float64Array;
  count = 0;

  constructor(expected = 1024) {
    let size = 1024;
    while (size < expected * 2) size *= 2;
    this.#table = new Int32Array(size).fill(-1);
    this.#mask = size - 1;
    this.#coordinates = new Float64Array(3 * Math.max(expected, 16));
  }

  /** Index of the point, snapped. */
  index(px: number, py: number, pz: number): number {
    // Adding 0 turns −0 into 0, so that equal points have equal bits.
    const x = snap(px) + 0;
    const y = snap(py) + 0;
    const z = snap(pz) + 0;
    if (this.count * 2 > this.#mask) this.#enlarge();
    let slot = this.#slot(x, y, z);
    for (;;) {
      const at = this.#table[slot];
      if (at < 0) break;
      if (
        this.#coordinates[3 * at] === x &&
        this.#coordinates[3 * at + 1] === y &&
        this.#coordinates[3 * at + 2] === z
      )
        return at;
      slot = (slot + 1) & this.#mask;
    }
    if (3 * this.count + 3 > this.#coordinates.length) {
      const larger = new Float64Array(this.#coordinates.length * 2);
      larger.set(this.#coordinates);
      this.#coordinates = larger;
    }
    this.#coordinates.set([x, y, z], 3 * this.count);
    this.#table[slot] = this.count;
    return this.count++;
  }

  x(index: number): number {
    return this.#coordinates[3 * index];
  }

  y(index: number): number {
    return this.#coordinates[3 * index + 1];
  }

  z(index: number): number {
    return this.#coordinates[3 * index + 2];
  }

  positions(): Float64Array {
    return this.#coordinates.slice(0, 3 * this.count);
  }

  #slot(x: number, y: number, z: number): number {
    const i = Math.round(x / SNAP) | 0;
    const j = Math.round(y / SNAP) | 0;
    const k = Math.round(z / SNAP) | 0;
    let h = Math.imul(i, 0x9e3779b1) ^ Math.imul(j, 0x85ebca6b) ^ Math.imul(k, 0xc2b2ae35);
    h ^= h >>> 15;
    h = Math.imul(h, 0x2c1b3c6d);
    h ^= h >>> 13;
    return h & this.#mask;
  }

  #enlarge(): void {
    this.#table = new Int32Array(this.#table.length * 2).fill(-1);
    this.#mask = this.#table.length - 1;
    for (let i = 0; i < this.count; i++) {
      let slot = this.#slot(
        this.#coordinates[3 * i],
        this.#coordinates[3 * i + 1],
        this.#coordinates[3 * i + 2],
      );
      while (this.#table[slot] >= 0) slot = (slot + 1) & this.#mask;
      this.#table[slot] = i;
    }
  }
}
