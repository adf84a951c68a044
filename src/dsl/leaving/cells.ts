/** Triangles that reach over so many borders between rows and columns are small. */
const SMALL_ROUND = 6;

/** Square cells over a rectangle of the plane, and which of them a triangle touches. */
export class Cells {
  readonly size: number;
  readonly columns: number;
  readonly rows: number;
  readonly u0: number;
  readonly v0: number;
  /** After `cover`: first and last row touched, and for each row the first and last column. */
  top = 0;
  bottom = 0;
  readonly from: Int32Array;
  readonly to: Int32Array;

  /** Cells of about the size that `wanted` of them leave, over the places given, mm. */
  constructor(u: Float64Array, v: Float64Array, wanted: number) {
    let [u0, u1, v0, v1] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let i = 0; i < u.length; i++) {
      if (u[i] < u0) u0 = u[i];
      if (u[i] > u1) u1 = u[i];
      if (v[i] < v0) v0 = v[i];
      if (v[i] > v1) v1 = v[i];
    }
    const width = Math.max(u1 - u0, 1e-3);
    const height = Math.max(v1 - v0, 1e-3);
    this.size = Math.max(Math.sqrt((width * height) / wanted), width / 2000, height / 2000);
    this.u0 = u0;
    this.v0 = v0;
    this.columns = Math.floor(width / this.size) + 1;
    this.rows = Math.floor(height / this.size) + 1;
    this.from = new Int32Array(this.rows);
    this.to = new Int32Array(this.rows);
  }

  column(u: number): number {
    return Math.min(this.columns - 1, Math.max(0, Math.floor((u - this.u0) / this.size)));
  }

  row(v: number): number {
    return Math.min(this.rows - 1, Math.max(0, Math.floor((v - this.v0) / this.size)));
  }

  middleU(column: number): number {
    return this.u0 + (column + 0.5) * this.size;
  }

  middleV(row: number): number {
    return this.v0 + (row + 0.5) * this.size;
  }

  /** Whether the place lies on the cells at all; outside, a place counts to the nearest cell. */
  holds(u: number, v: number): boolean {
    const slack = 1e-6;
    return (
      u >= this.u0 - slack &&
      v >= this.v0 - slack &&
      u <= this.u0 + this.columns * this.size + slack &&
      v <= this.v0 + this.rows * this.size + slack
    );
  }

  /** Finds the cells that the triangle touches; none is left out, and few others are taken with them. */
  cover(ua: number, va: number, ub: number, vb: number, uc: number, vc: number): void {
    this.top = this.row(Math.min(va, vb, vc));
    this.bottom = this.row(Math.max(va, vb, vc));
    const from = this.column(Math.min(ua, ub, uc));
    const to = this.column(Math.max(ua, ub, uc));
    // Of a small triangle all cells about it are taken: that is quicker than to follow its edges.
    if (this.top === this.bottom || to - from < SMALL_ROUND - (this.bottom - this.top)) {
      for (let row = this.top; row <= this.bottom; row++) {
        this.from[row] = from;
        this.to[row] = to;
      }
      return;
    }
    for (let row = this.top; row <= this.bottom; row++) {
      this.from[row] = this.columns;
      this.to[row] = -1;
    }
    this.#edge(ua, va, ub, vb);
    this.#edge(ub, vb, uc, vc);
    this.#edge(uc, vc, ua, va);
  }

  #edge(ua: number, va: number, ub: number, vb: number): void {
    const first = this.row(Math.min(va, vb));
    const last = this.row(Math.max(va, vb));
    const slope = va === vb ? 0 : (ub - ua) / (vb - va);
    for (let row = first; row <= last; row++) {
      let low = Math.min(ua, ub);
      let high = Math.max(ua, ub);
      if (first !== last) {
        const v0 = this.v0 + row * this.size;
        const atLow = ua + slope * (v0 - va);
        const atHigh = ua + slope * (v0 + this.size - va);
        low = Math.max(low, Math.min(atLow, atHigh));
        high = Math.min(high, Math.max(atLow, atHigh));
      }
      // Rounding of the crossing must not lose a cell.
      const from = this.column(low - 1e-9);
      const to = this.column(high + 1e-9);
      if (from < this.from[row]) this.from[row] = from;
      if (to > this.to[row]) this.to[row] = to;
    }
  }
}

/** Facets by the cells that they touch. */
export class CellLists {
  readonly #cells: Cells;
  readonly #first: Int32Array;
  #next: Int32Array;
  #facet: Int32Array;
  #count = 0;

  constructor(cells: Cells, expected: number) {
    this.#cells = cells;
    this.#first = new Int32Array(cells.columns * cells.rows).fill(-1);
    this.#next = new Int32Array(4 * expected + 16);
    this.#facet = new Int32Array(4 * expected + 16);
  }

  add(facet: number, ua: number, va: number, ub: number, vb: number, uc: number, vc: number): void {
    const cells = this.#cells;
    cells.cover(ua, va, ub, vb, uc, vc);
    for (let row = cells.top; row <= cells.bottom; row++)
      for (let column = cells.from[row]; column <= cells.to[row]; column++) {
        if (this.#count === this.#next.length) {
          this.#next = enlarged(this.#next);
          this.#facet = enlarged(this.#facet);
        }
        const cell = row * cells.columns + column;
        this.#facet[this.#count] = facet;
        this.#next[this.#count] = this.#first[cell];
        this.#first[cell] = this.#count++;
      }
  }

  /** Entry with which a cell's list begins; −1 when it is empty. */
  first(cell: number): number {
    return this.#first[cell];
  }

  /** Entry after this one; −1 at the end. */
  next(entry: number): number {
    return this.#next[entry];
  }

  facet(entry: number): number {
    return this.#facet[entry];
  }
}

function enlarged(values: Int32Array): Int32Array {
  const larger = new Int32Array(2 * values.length);
  larger.set(values);
  return larger;
}
