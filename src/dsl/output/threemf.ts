import { strToU8, zipSync, type Zippable } from "fflate";
import type { Vec3 } from "../mold/model.ts";
import type { Mesh } from "../solid/mesh.ts";
import { PLATE_GAP, type Placement } from "./plates.ts";
import { KIT } from "./version.ts";

export const MODEL_PATH = "3D/3dmodel.model";
export const CORE_NAMESPACE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
const CONTENT_TYPES_NAMESPACE = "http://schemas.openxmlformats.org/package/2006/content-types";
const RELATIONSHIPS_NAMESPACE = "http://schemas.openxmlformats.org/package/2006/relationships";
const MODEL_RELATIONSHIP = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";

/** A named object; without a placement it is in the file to be looked at and does not print. */
export interface ThreeMfObject {
  name: string;
  /** In bed position. */
  mesh: Mesh;
  size: Vec3;
  placement: Placement | null;
}

export interface ThreeMfOptions {
  title: string;
  /** mm in x; plate i lies i × (this + 20) along x. Default: plates are not moved, for a file of one plate. */
  bedWidth?: number;
}

/**
 * A 3MF file by the core specification alone: unit millimeter, one mesh object for each part, one
 * build item for each part that prints, with `partnumber` plate-i. Vertices are written in full,
 * so that a reader gets the very numbers of the mesh. Equal input gives equal bytes: the zip holds
 * one fixed time.
 * Source: 3MF Consortium, 3MF Core Specification 1.4.0.
 */
export function write3mf(objects: readonly ThreeMfObject[], options: ThreeMfOptions): Uint8Array {
  const items = objects.flatMap(({ placement, size }, index) =>
    placement ? [buildItem(index + 1, placement, size, options.bedWidth)] : [],
  );
  const model = [
    `<?xml version="1.0" encoding="UTF-8"?>\n`,
    `<model unit="millimeter" xml:lang="en-US" xmlns="${CORE_NAMESPACE}">\n`,
    ` <metadata name="Title">${escape(options.title)}</metadata>\n`,
    ` <metadata name="Application">${escape(KIT)}</metadata>\n`,
    ` <resources>\n`,
    ...objects.map((object, index) => objectXml(index + 1, object)),
    ` </resources>\n`,
    ` <build>\n`,
    ...items,
    ` </build>\n`,
    `</model>\n`,
  ].join("");
  // Local midnight, because the zip writer takes local time apart: the same bytes in every zone.
  const mtime = new Date(1980, 0, 1);
  const file = (text: string): Zippable[string] => [strToU8(text), { level: 6, mtime }];
  return zipSync({
    "[Content_Types].xml": file(
      `<?xml version="1.0" encoding="UTF-8"?>\n<Types xmlns="${CONTENT_TYPES_NAMESPACE}">` +
        `<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
        `<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n`,
    ),
    "_rels/.rels": file(
      `<?xml version="1.0" encoding="UTF-8"?>\n<Relationships xmlns="${RELATIONSHIPS_NAMESPACE}">` +
        `<Relationship Target="/${MODEL_PATH}" Id="model" Type="${MODEL_RELATIONSHIP}"/></Relationships>\n`,
    ),
    [MODEL_PATH]: file(model),
  });
}

function objectXml(id: number, { name, mesh }: ThreeMfObject): string {
  const { positions: p, triangles: t } = mesh;
  const lines = [`  <object id="${id}" type="model" name="${escape(name)}">\n   <mesh>\n    <vertices>\n`];
  for (let i = 0; i < p.length; i += 3) {
    lines.push(`     <vertex x="${decimal(p[i])}" y="${decimal(p[i + 1])}" z="${decimal(p[i + 2])}"/>\n`);
  }
  lines.push(`    </vertices>\n    <triangles>\n`);
  for (let i = 0; i < t.length; i += 3) {
    lines.push(`     <triangle v1="${t[i]}" v2="${t[i + 1]}" v3="${t[i + 2]}"/>\n`);
  }
  lines.push(`    </triangles>\n   </mesh>\n  </object>\n`);
  return lines.join("");
}

/** The transform multiplies row vectors: three rows of the turn, then the shift. */
function buildItem(id: number, placement: Placement, size: Vec3, bedWidth: number | undefined): string {
  const { plate, turned } = placement;
  const x = placement.x + (bedWidth === undefined ? 0 : plate * (bedWidth + PLATE_GAP));
  const turn = turned ? "0 1 0 -1 0 0 0 0 1" : "1 0 0 0 1 0 0 0 1";
  const shift = [turned ? x + size[1] : x, placement.y, 0].map(decimal).join(" ");
  return `  <item objectid="${id}" transform="${turn} ${shift}" partnumber="plate-${plate}"/>\n`;
}

/** Shortest decimal that reads back as the same number. */
function decimal(value: number): string {
  if (!Number.isFinite(value)) throw new Error(`${value} cannot be written as a coordinate`);
  return String(value + 0);
}

function escape(text: string): string {
  const entities: Record<string, string> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
  return text.replace(/[&<>"]/g, (character) => entities[character]);
}
