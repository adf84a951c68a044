import type { MoldView, SurfaceGeometry, SurfaceView } from "../../shared/engine.ts";

/** What of a mold is to be drawn. */
export type Drawable = Pick<
  MoldView,
  "name" | "summary" | "fired" | "wet" | "surfaces" | "moves" | "dimensions"
>;

type Packed = Omit<SurfaceGeometry, "positions" | "triangles" | "edges"> & {
  /** Base 64 of 16-bit positions, and of 32-bit indices. */
  positions: string;
  triangles: string;
  edges: string;
};

/** A mold on its way into a web page. */
export type SentMold = Omit<Drawable, "surfaces"> & {
  surfaces: (Omit<SurfaceView, "geometry"> & { geometry?: Packed })[];
};

const pack = (array: Uint16Array | Uint32Array) =>
  Buffer.from(array.buffer, array.byteOffset, array.byteLength).toString("base64");

export function sendable(mold: Drawable): SentMold {
  return {
    ...mold,
    surfaces: mold.surfaces.map(({ geometry, ...rest }) => ({
      ...rest,
      ...(geometry && {
        geometry: {
          ...geometry,
          positions: pack(geometry.positions),
          triangles: pack(Uint32Array.from(geometry.triangles)),
          edges: pack(Uint32Array.from(geometry.edges)),
        },
      }),
    })),
  };
}
