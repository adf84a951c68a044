import type { MoldView, SurfaceGeometry, SurfaceView } from "../../../shared/engine.ts";
import type { PreviewMold, PreviewSurface, StockedGeometry, Stretch } from "../../../shared/preview.ts";

/** Bytes of geometry in one message: half a megabyte takes a browser-hosted editor about 0.1 s. */
export const messageBytes = 500_000;

/** Molds on their way to a page: first the stretches, a message each list, then the molds. */
export interface Shipment {
  stock: Stretch[][];
  molds: PreviewMold[];
  /** Geometry in all of it. */
  bytes: number;
}

/**
 * Packs the molds for a page that holds the geometry named in `held`. What fits into `limit` bytes
 * goes along with the molds; the rest goes ahead, cut into messages of at most that many.
 */
export function packMolds(
  molds: readonly MoldView[],
  held: ReadonlySet<string>,
  limit = messageBytes,
): Shipment {
  const wanted = new Map<string, SurfaceGeometry>();
  for (const { digest, geometry } of molds.flatMap((mold) => mold.surfaces)) {
    if (geometry && !held.has(digest)) wanted.set(digest, geometry);
  }
  let left = limit;
  const along = new Set<string>();
  for (const [digest, geometry] of wanted) {
    const bytes = bytesOf(geometry);
    if (bytes > left) continue;
    left -= bytes;
    along.add(digest);
  }
  const ahead = [...wanted].filter(([digest]) => !along.has(digest));
  return {
    stock: cut(ahead, limit),
    molds: molds.map(({ name, summary, fired, wet, moves, dimensions, surfaces }) => ({
      ...{ name, summary, fired, wet, moves, dimensions },
      surfaces: surfaces.map((surface) => packSurface(surface, wanted, along)),
    })),
    bytes: [...wanted.values()].reduce((sum, geometry) => sum + bytesOf(geometry), 0),
  };
}

function packSurface(
  { name, role, digest, apart }: SurfaceView,
  wanted: ReadonlyMap<string, SurfaceGeometry>,
  along: ReadonlySet<string>,
): PreviewSurface {
  const bare = { name, role, digest, apart };
  const geometry = wanted.get(digest);
  if (!geometry) return bare;
  if (!along.has(digest)) return { ...bare, stocked: labelOf(geometry) };
  // A posted array takes its whole buffer along: the page gets copies of just what it needs.
  const { positions, triangles, edges } = geometry;
  return {
    ...bare,
    geometry: {
      ...geometry,
      positions: positions.slice(),
      triangles: triangles.slice(),
      edges: edges.slice(),
    },
  };
}

function labelOf({ positions, triangles, edges, min, max, groups }: SurfaceGeometry): StockedGeometry {
  return {
    positions: positions.length,
    triangles: triangles.length,
    edges: edges.length,
    indexBytes: [triangles.BYTES_PER_ELEMENT, edges.BYTES_PER_ELEMENT],
    min,
    max,
    groups,
  };
}

/** Fills messages one after another; a surface may begin in one and end in another. */
function cut(surfaces: [string, SurfaceGeometry][], limit: number): Stretch[][] {
  const messages: Stretch[][] = [];
  let room = 0;
  for (const [digest, geometry] of surfaces) {
    const run = packed(geometry);
    for (let at = 0; at < run.length;) {
      if (room === 0) {
        messages.push([]);
        room = limit;
      }
      const bytes = run.slice(at, at + room);
      messages[messages.length - 1].push({ digest, at, of: run.length, bytes });
      at += bytes.length;
      room -= bytes.length;
    }
  }
  return messages;
}

function packed(geometry: SurfaceGeometry): Uint8Array {
  const run = new Uint8Array(bytesOf(geometry));
  let at = 0;
  for (const { buffer, byteOffset, byteLength } of [geometry.positions, geometry.triangles, geometry.edges]) {
    run.set(new Uint8Array(buffer, byteOffset, byteLength), at);
    at += aligned(byteLength);
  }
  return run;
}

function bytesOf({ positions, triangles, edges }: SurfaceGeometry): number {
  return aligned(positions.byteLength) + aligned(triangles.byteLength) + aligned(edges.byteLength);
}

const aligned = (bytes: number): number => Math.ceil(bytes / 4) * 4;
