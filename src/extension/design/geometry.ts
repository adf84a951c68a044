import type { MoldView, SurfaceGeometry } from "../../../shared/engine.ts";

/** Builds whose surfaces are kept: a coarse and a fine picture take turns. */
const generations = 3;

/** Geometry of one design by digest, so that the engine sends each surface once. */
export class GeometryStore {
  #known = new Map<string, SurfaceGeometry>();
  #recent: Set<string>[] = [];

  /** What a build that is asked for now need not send. The same goes to `complete` with its answer. */
  held(): ReadonlyMap<string, SurfaceGeometry> {
    return new Map(this.#known);
  }

  /**
   * The same molds with every surface's geometry filled in. `held` is that of when they were asked
   * for: answers of other builds may have come between.
   */
  complete(molds: MoldView[], held: ReadonlyMap<string, SurfaceGeometry>): MoldView[] {
    const seen = new Set<string>();
    const whole = molds.map((mold) => ({
      ...mold,
      surfaces: mold.surfaces.map((surface) => {
        const geometry = surface.geometry ?? held.get(surface.digest);
        if (!geometry) throw new Error(`surface ${surface.name} came without geometry`);
        this.#known.set(surface.digest, geometry);
        seen.add(surface.digest);
        return { ...surface, geometry };
      }),
    }));
    this.#recent = [seen, ...this.#recent].slice(0, generations);
    for (const digest of this.#known.keys()) {
      if (!this.#recent.some((generation) => generation.has(digest))) this.#known.delete(digest);
    }
    return whole;
  }
}
