import type { Mesh } from "../solid/mesh.ts";
import { weldCorners } from "./weld.ts";

const HEADER_BYTES = 80;
const FACET_BYTES = 50;

/**
 * Binary STL in mm: 80-byte header, facet count, then normal, three corners and two zero bytes for
 * each facet, little-endian. Written here and not by a library because a reader must get back the
 * very numbers that were proved: a coordinate that float32 cannot hold throws, and nothing is
 * rounded on the way. `label` goes into the header in ASCII after a first word that is not
 * "solid", which readers take for the text format.
 */
export function writeStl(mesh: Mesh, label: string): Uint8Array {
  const { positions, triangles } = mesh;
  const bytes = new Uint8Array(HEADER_BYTES + 4 + (FACET_BYTES * triangles.length) / 3);
  const view = new DataView(bytes.buffer);
  const header = `Slabwright, mm: ${label}`.slice(0, HEADER_BYTES);
  for (let i = 0; i < header.length; i++) {
    const code = header.charCodeAt(i);
    bytes[i] = code >= 0x20 && code < 0x7f ? code : 0x3f;
  }
  view.setUint32(HEADER_BYTES, triangles.length / 3, true);
  let offset = HEADER_BYTES + 4;
  for (let t = 0; t < triangles.length; t += 3) {
    const normal = facetNormal(positions, triangles[t], triangles[t + 1], triangles[t + 2]);
    for (let axis = 0; axis < 3; axis++) view.setFloat32(offset + 4 * axis, normal[axis], true);
    for (let corner = 0; corner < 3; corner++) {
      for (let axis = 0; axis < 3; axis++) {
        const value = positions[3 * triangles[t + corner] + axis];
        if (Math.fround(value) !== value) throw new Error(`${value} mm cannot be written as float32`);
        view.setFloat32(offset + 12 + 12 * corner + 4 * axis, value, true);
      }
    }
    offset += FACET_BYTES;
  }
  return bytes;
}

/** The mesh in a binary STL, corners with the same numbers welded. Throws on anything that is not one. */
export function readStl(bytes: Uint8Array): Mesh {
  if (bytes.length < HEADER_BYTES + 4) throw new Error(`not a binary STL: only ${bytes.length} bytes`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (new TextDecoder("latin1").decode(bytes.subarray(0, 5)) === "solid") {
    throw new Error("the header starts with “solid”, as text STL does");
  }
  const facets = view.getUint32(HEADER_BYTES, true);
  const length = HEADER_BYTES + 4 + FACET_BYTES * facets;
  if (bytes.length !== length) {
    throw new Error(`${bytes.length} bytes where ${facets} facets take ${length}`);
  }
  const corners = new Float64Array(9 * facets);
  for (let facet = 0; facet < facets; facet++) {
    const offset = HEADER_BYTES + 4 + FACET_BYTES * facet + 12;
    for (let i = 0; i < 9; i++) corners[9 * facet + i] = view.getFloat32(offset + 4 * i, true);
  }
  return weldCorners(corners);
}

function facetNormal(p: Float64Array, a: number, b: number, c: number): [number, number, number] {
  const ux = p[3 * b] - p[3 * a];
  const uy = p[3 * b + 1] - p[3 * a + 1];
  const uz = p[3 * b + 2] - p[3 * a + 2];
  const vx = p[3 * c] - p[3 * a];
  const vy = p[3 * c + 1] - p[3 * a + 1];
  const vz = p[3 * c + 2] - p[3 * a + 2];
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const length = Math.hypot(nx, ny, nz);
  return length > 0 ? [nx / length, ny / length, nz / length] : [0, 0, 0];
}
