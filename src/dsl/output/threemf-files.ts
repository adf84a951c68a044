import { boundsOf } from "../solid/measure.ts";
import { PLATE_GAP } from "./plates.ts";
import type { PrintedPart } from "./printed.ts";
import { read3mf, type ReadItem } from "./threemf-read.ts";
import { write3mf, type ThreeMfObject } from "./threemf.ts";
import { faultOfSolid } from "./verify.ts";
import { weld } from "./weld.ts";
import type { MoldFile, Writer } from "./writers.ts";
import { titleOf } from "./title.ts";

/** One file with every part, its plates side by side, and where there are several plates a file for each. */
export const threeMfFiles: Writer = (model, folder, parts) => {
  const bedWidth = model.printer.bed[0];
  const files = [file(`${folder}/${folder}.3mf`, titleOf(model), parts, bedWidth)];
  const plates = [...new Set(parts.flatMap(({ placement }) => (placement ? [placement.plate] : [])))];
  if (plates.length > 1) {
    for (const plate of plates.sort((a, b) => a - b)) {
      const on = parts.filter(({ placement }) => placement?.plate === plate);
      files.push(file(`${folder}/${folder}-plate${plate}.3mf`, `${titleOf(model)} plate-${plate}`, on));
    }
  }
  return files;
};

function file(path: string, title: string, parts: readonly PrintedPart[], bedWidth?: number): MoldFile {
  const objects = parts.map(({ mesh, placement, entry }): ThreeMfObject => ({
    name: entry.name,
    mesh,
    size: entry.size,
    placement,
  }));
  return {
    path,
    bytes: write3mf(objects, { title, bedWidth }),
    check: (written) => check3mf(written, parts, bedWidth),
  };
}

function check3mf(written: Uint8Array, parts: readonly PrintedPart[], bedWidth?: number): string | null {
  const { unit, objects, items } = read3mf(written);
  if (unit !== "millimeter") return `its unit is ${unit}`;
  if (objects.length !== parts.length) return `it holds ${objects.length} objects instead of ${parts.length}`;
  const printed = parts.filter(({ placement }) => placement);
  if (items.length !== printed.length)
    return `it builds ${items.length} objects instead of ${printed.length}`;
  for (const [index, { entry }] of parts.entries()) {
    const { name, mesh } = objects[index];
    if (name !== entry.name) return `object ${index + 1} is called ${name} instead of ${entry.name}`;
    const fault = faultOfSolid(weld(mesh), entry.volumeMm3);
    if (fault) return `${name}: ${fault}`;
  }
  for (const [index, part] of printed.entries()) {
    const fault = checkItem(items[index], part, bedWidth);
    if (fault) return `${part.entry.name}: ${fault}`;
  }
  return null;
}

/** The item lies where its placement says, in the positive octant, on its plate. */
function checkItem(
  item: ReadItem,
  { mesh, placement, entry }: PrintedPart,
  bedWidth?: number,
): string | null {
  if (!placement) return "it is not to be built";
  if (item.object !== entry.name) return `${item.object} is built in its place`;
  if (item.partnumber !== `plate-${placement.plate}`) return `its part number is ${item.partnumber}`;
  const t = item.transform;
  const { min, max } = boundsOf(mesh);
  const corners = [min, max].map((p) =>
    [0, 1, 2].map((axis) => p[0] * t[axis] + p[1] * t[3 + axis] + p[2] * t[6 + axis] + t[9 + axis]),
  );
  const least = [0, 1, 2].map((axis) => Math.min(corners[0][axis], corners[1][axis]));
  const shift = bedWidth === undefined ? 0 : placement.plate * (bedWidth + PLATE_GAP);
  const off = Math.hypot(least[0] - placement.x - shift, least[1] - placement.y, least[2]);
  if (off > 1e-9) return `it lies ${off} mm from its place`;
  return least.every((value) => value >= 0) ? null : "it lies outside the positive octant";
}
