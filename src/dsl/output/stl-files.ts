import type { PrintedPart } from "./printed.ts";
import { readStl, writeStl } from "./stl.ts";
import { faultOfSolid } from "./verify.ts";
import type { Writer } from "./writers.ts";
import { titleOf } from "./title.ts";

/** One STL for each part, in bed position. */
export const stlFiles: Writer = (model, folder, parts) =>
  parts.map((part) => ({
    path: `${folder}/parts/${part.fileName}.stl`,
    bytes: writeStl(part.mesh, `${titleOf(model)} ${part.entry.name}`),
    check: (written) => checkStl(written, part),
  }));

function checkStl(written: Uint8Array, { entry }: PrintedPart): string | null {
  const mesh = readStl(written);
  if (mesh.triangles.length !== 3 * entry.triangles) {
    return `it holds ${mesh.triangles.length / 3} facets instead of ${entry.triangles}`;
  }
  return faultOfSolid(mesh, entry.volumeMm3);
}
