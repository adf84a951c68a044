import type { Mesh } from "./mesh.ts";

const HEADER_BYTES = 80;
const FACET_BYTES = 50;

/**
 * The facets of an STL file that somebody else wrote, binary or text, each with corners of its own.
 * Its numbers are as they stand there; what is not STL throws with a sentence's end.
 */
export function readAnyStl(bytes: Uint8Array): Mesh {
  const positions = isText(bytes) ? readText(bytes) : readBinary(bytes);
  if (positions.length === 0) throw new Error("it has no facets");
  return {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from({ length: positions.length / 3 }, (_, i) => i),
  };
}

/** A binary file may begin with "solid" too; then its length is that of its facets. */
function isText(bytes: Uint8Array): boolean {
  if (new TextDecoder("latin1").decode(bytes.subarray(0, 5)).toLowerCase() !== "solid") return false;
  return bytes.length < HEADER_BYTES + 4 || bytes.length !== lengthOf(bytes);
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

const lengthOf = (bytes: Uint8Array) =>
  HEADER_BYTES + 4 + FACET_BYTES * viewOf(bytes).getUint32(HEADER_BYTES, true);

function readBinary(bytes: Uint8Array): Float64Array {
  if (bytes.length < HEADER_BYTES + 4) throw new Error(`it has only ${bytes.length} bytes`);
  if (bytes.length < lengthOf(bytes))
    throw new Error(`it has ${bytes.length} bytes where its facets take ${lengthOf(bytes)}`);
  const view = viewOf(bytes);
  const facets = view.getUint32(HEADER_BYTES, true);
  const corners = new Float64Array(9 * facets);
  for (let facet = 0; facet < facets; facet++) {
    const offset = HEADER_BYTES + 4 + FACET_BYTES * facet + 12;
    for (let i = 0; i < 9; i++) corners[9 * facet + i] = view.getFloat32(offset + 4 * i, true);
  }
  return corners;
}

function readText(bytes: Uint8Array): number[] {
  const corners: number[] = [];
  for (const [, x, y, z] of new TextDecoder("latin1")
    .decode(bytes)
    .matchAll(/vertex\s+(\S+)\s+(\S+)\s+(\S+)/gi))
    corners.push(Number(x), Number(y), Number(z));
  if (corners.length % 9 !== 0) throw new Error("a facet has not three corners");
  return corners;
}
