import type { PreviewMold, PreviewSurface, StockedGeometry, Stretch } from "../../shared/preview.ts";

/** Geometry that has come ahead of the message that shows it. */
export class Stock {
  #runs = new Map<string, Uint8Array<ArrayBuffer>>();

  add(stretches: Stretch[]): void {
    for (const { digest, at, of, bytes } of stretches) {
      let run = this.#runs.get(digest);
      // A stretch from the beginning starts afresh: what was half sent before is not gone on with.
      if (run?.length !== of || at === 0) {
        run = new Uint8Array(of);
        this.#runs.set(digest, run);
      }
      run.set(bytes, at);
    }
  }

  /** The same molds with the geometry of stocked surfaces in them. Empties the stock. */
  fill(molds: PreviewMold[]): PreviewMold[] {
    const filled = molds.map((mold) => ({
      ...mold,
      surfaces: mold.surfaces.map((surface) => this.#fillOne(surface)),
    }));
    this.#runs.clear();
    return filled;
  }

  #fillOne(surface: PreviewSurface): PreviewSurface {
    const { stocked, ...rest } = surface;
    const run = stocked && this.#runs.get(surface.digest);
    return run ? { ...rest, geometry: unpack(stocked, run.buffer) } : rest;
  }
}

function unpack(
  { positions, triangles, edges, indexBytes, min, max, groups }: StockedGeometry,
  buffer: ArrayBuffer,
): NonNullable<PreviewSurface["geometry"]> {
  const indices = (at: number, count: number, bytes: number) =>
    bytes === 2 ? new Uint16Array(buffer, at, count) : new Uint32Array(buffer, at, count);
  const toTriangles = aligned(2 * positions);
  const toEdges = toTriangles + aligned(indexBytes[0] * triangles);
  return {
    positions: new Uint16Array(buffer, 0, positions),
    triangles: indices(toTriangles, triangles, indexBytes[0]),
    edges: indices(toEdges, edges, indexBytes[1]),
    min,
    max,
    groups,
  };
}

const aligned = (bytes: number): number => Math.ceil(bytes / 4) * 4;
