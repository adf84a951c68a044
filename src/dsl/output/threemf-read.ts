import { strFromU8, unzipSync } from "fflate";
import type { Mesh } from "../solid/mesh.ts";
import { CORE_NAMESPACE, MODEL_PATH } from "./threemf.ts";

export interface ReadItem {
  object: string;
  partnumber: string | null;
  /** Twelve numbers: three rows of the turn, then the shift. */
  transform: number[];
}

export interface ReadModel {
  unit: string;
  objects: { name: string; mesh: Mesh }[];
  items: ReadItem[];
}

type Attributes = Record<string, string>;

/**
 * The meshes and build items of a core 3MF file without components. A missing part, an unknown
 * object, or a vertex index out of range throws. Vertices come as they are, not welded.
 */
export function read3mf(bytes: Uint8Array): ReadModel {
  const files = unzipSync(bytes);
  for (const path of ["[Content_Types].xml", "_rels/.rels", MODEL_PATH]) {
    if (!files[path]) throw new Error(`${path} is missing`);
  }
  const xml = strFromU8(files[MODEL_PATH]);
  const names = new Map<string, string>();
  const objects: ReadModel["objects"] = [];
  const items: ReadItem[] = [];
  let unit = "";
  let object: { name: string; positions: number[]; triangles: number[] } | null = null;
  for (const [, closing, tag, rest] of xml.matchAll(/<(\/?)([a-zA-Z][\w:.-]*)([^<>]*)>/g)) {
    if (closing) {
      if (tag === "object" && object) {
        objects.push(finished(object));
        object = null;
      }
      continue;
    }
    const attributes = attributesOf(rest);
    switch (tag) {
      case "model":
        if (attributes["xmlns"] !== CORE_NAMESPACE) throw new Error("the model is not core 3MF");
        unit = attributes["unit"] ?? "millimeter";
        break;
      case "object":
        object = { name: attributes["name"] ?? "", positions: [], triangles: [] };
        names.set(attributes["id"], object.name);
        break;
      case "vertex":
        object?.positions.push(...numbers(attributes, ["x", "y", "z"]));
        break;
      case "triangle":
        object?.triangles.push(...numbers(attributes, ["v1", "v2", "v3"]));
        break;
      case "item": {
        const name = names.get(attributes["objectid"]);
        if (name === undefined) throw new Error(`no object ${attributes["objectid"]} to build`);
        const transform = (attributes["transform"] ?? "1 0 0 0 1 0 0 0 1 0 0 0").split(" ").map(Number);
        if (transform.length !== 12 || !transform.every(Number.isFinite)) {
          throw new Error(`the transform of ${name} is not twelve numbers`);
        }
        items.push({ object: name, partnumber: attributes["partnumber"] ?? null, transform });
        break;
      }
    }
  }
  return { unit, objects, items };
}

function finished(object: { name: string; positions: number[]; triangles: number[] }) {
  const mesh: Mesh = {
    positions: Float64Array.from(object.positions),
    triangles: Uint32Array.from(object.triangles),
  };
  const vertices = mesh.positions.length / 3;
  for (const vertex of mesh.triangles) {
    if (vertex >= vertices) throw new Error(`${object.name}: there is no vertex ${vertex}`);
  }
  return { name: object.name, mesh };
}

function numbers(attributes: Attributes, keys: readonly string[]): number[] {
  return keys.map((key) => {
    const value = Number(attributes[key] ?? NaN);
    if (!Number.isFinite(value)) throw new Error(`${key} is not a number`);
    return value;
  });
}

function attributesOf(text: string): Attributes {
  const attributes: Attributes = {};
  for (const [, key, value] of text.matchAll(/([\w:.-]+)="([^"]*)"/g)) attributes[key] = unescape(value);
  return attributes;
}

function unescape(text: string): string {
  const characters: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"' };
  return text.replace(/&(amp|lt|gt|quot);/g, (_, name: string) => characters[name]);
}
