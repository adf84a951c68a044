import { createHash } from "node:crypto";
import { Body } from "./body.ts";
import { Cutter } from "./cutter.ts";
import { Key } from "./key.ts";
import { Mold } from "./mold.ts";
import { Outline, Section } from "./outline.ts";
import { Split } from "./split.ts";
import type { Curve } from "../outline/curve.ts";

/** Kit values that are their own public data and nothing else. */
const KNOWN = new Set<unknown>([Body, Cutter, Key, Mold, Outline, Section, Split]);

/** Where segments of curves are read, as shares of their length: no simple fractions, so that no symmetry hides a change. */
const READ_AT = [0.0713, 0.2239, 0.3697, 0.5281, 0.6743, 0.8117, 0.9371];

/**
 * A digest of a value of the kit: equal digests are equal molds, calls included, whatever text they
 * came from. A curve is known by the arc lengths of its segments, which any change of a shape
 * changes, and by points of each. Null for what holds something that cannot be looked into.
 */
export function digestOfSpec(value: unknown): string | null {
  const numbers: number[] = [];
  const words: string[] = [];
  const hash = createHash("sha256");
  const add = (one: unknown): boolean => {
    switch (typeof one) {
      case "number":
        words.push("n");
        numbers.push(one);
        return true;
      case "string":
        words.push(`s${one.length}`, one);
        return true;
      case "boolean":
      case "undefined":
        words.push(String(one));
        return true;
      case "object":
        return one === null ? words.push("null") > 0 : addObject(one);
      default:
        return false;
    }
  };
  const addObject = (one: object): boolean => {
    if (ArrayBuffer.isView(one)) {
      words.push(one.constructor.name, String(one.byteLength));
      hash.update(new Uint8Array(one.buffer, one.byteOffset, one.byteLength));
      return true;
    }
    if (Array.isArray(one)) {
      words.push(`[${one.length}`);
      return one.every(add);
    }
    if (isCurve(one)) {
      addCurve(one);
      return true;
    }
    const prototype = Object.getPrototypeOf(one) as { constructor: unknown } | null;
    const isPlain = prototype === null || Object.getPrototypeOf(prototype) === null;
    if (!isPlain && !KNOWN.has(prototype.constructor)) return false;
    const entries = Object.entries(one);
    words.push(`{${entries.length}`);
    return entries.every(([key, inner]) => {
      words.push(key);
      return add(inner);
    });
  };
  const addCurve = ({ kind, segments, corners, leastSamples, leastAround }: Curve) => {
    words.push("curve", String(kind), String(segments.length), corners.join(" "));
    numbers.push(leastSamples, leastAround ?? -1);
    for (const segment of segments) {
      numbers.push(segment.length);
      for (const share of READ_AT) {
        const { x, y } = segment.at(share);
        numbers.push(x, y);
      }
    }
  };
  if (!add(value)) return null;
  hash.update(JSON.stringify(words));
  hash.update(Float64Array.from(numbers));
  return hash.digest("hex");
}

function isCurve(one: object): one is Curve {
  return "segments" in one && "leastSamples" in one && "grow" in one && typeof one.grow === "function";
}
