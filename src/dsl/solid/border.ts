/** The border of a surface that is given triangle by triangle, or by those of its edges that may belong to it. */
export class Border {
  readonly #ends = new Map<number, Set<number>>();

  triangle(a: number, b: number, c: number): void {
    this.edge(a, b);
    this.edge(b, c);
    this.edge(c, a);
  }

  edge(from: number, to: number): void {
    if (this.#ends.get(to)?.delete(from)) return;
    const ends = this.#ends.get(from);
    if (ends) ends.add(to);
    else this.#ends.set(from, new Set([to]));
  }

  /** Its closed loops, the surface on their left, and nothing left of it. Throws where it does not close. */
  loops(): number[][] {
    const loops: number[][] = [];
    for (const [start, ends] of this.#ends) {
      while (ends.size > 0) {
        const loop: number[] = [];
        let at = start;
        do {
          const next: number | undefined = this.#ends.get(at)?.values().next().value;
          if (next === undefined) throw new Error("the surface has a border that does not close");
          this.#ends.get(at)!.delete(next);
          loop.push(at);
          at = next;
        } while (at !== start);
        loops.push(loop);
      }
    }
    return loops;
  }
}
