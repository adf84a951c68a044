import type { Cells } from "./cells.ts";
import { EDGE_ON } from "./view.ts";

/** Bounds on the height of a seen triangle within a cell, mm. Set anew for each triangle. */
export class HeightBound {
  readonly cells: Cells;
  low = 0;
  high = 0;
  base = 0;
  gu = 0;
  gv = 0;
  /** How far the height may go from that over the middle of a cell. */
  swing = 0;

  constructor(cells: Cells) {
    this.cells = cells;
  }

  set(
    ua: number,
    va: number,
    ha: number,
    ub: number,
    vb: number,
    hb: number,
    uc: number,
    vc: number,
    hc: number,
  ): void {
    this.low = Math.min(ha, hb, hc);
    this.high = Math.max(ha, hb, hc);
    const turn = (ub - ua) * (vc - va) - (vb - va) * (uc - ua);
    if (Math.abs(turn) < EDGE_ON) {
      // Edge on there is no slope to go by and the corners alone bound it.
      [this.gu, this.gv, this.base, this.swing] = [0, 0, 0, Infinity];
      return;
    }
    this.gu = ((hb - ha) * (vc - va) - (hc - ha) * (vb - va)) / turn;
    this.gv = ((hc - ha) * (ub - ua) - (hb - ha) * (uc - ua)) / turn;
    this.base = ha - this.gu * ua - this.gv * va;
    this.swing = ((Math.abs(this.gu) + Math.abs(this.gv)) * this.cells.size) / 2 + 1e-6;
  }

  most(column: number, row: number): number {
    const here = this.middle(column, row) + this.swing;
    return here < this.high ? here : this.high;
  }

  least(column: number, row: number): number {
    const here = this.middle(column, row) - this.swing;
    return here > this.low ? here : this.low;
  }

  middle(column: number, row: number): number {
    return this.base + this.gu * this.cells.middleU(column) + this.gv * this.cells.middleV(row);
  }
}
