import type { CallView, MoldView } from "../../../shared/engine.ts";
import type { Place } from "../../../shared/place.ts";

/** A point of a text; lines and columns count from 1. */
export interface Point {
  line: number;
  column: number;
}

const before = (a: Point, b: Point) => a.line < b.line || (a.line === b.line && a.column < b.column);

export function holds(place: Place, at: Point): boolean {
  return !before(at, place) && !before({ line: place.endLine, column: place.endColumn }, at);
}

/** The innermost of the calls in `file` that hold a point; of several with one range, the first. */
export function callAt(calls: readonly CallView[], file: string, at: Point): CallView | undefined {
  let innermost: { call: CallView; place: Place } | undefined;
  for (const call of calls) {
    const [place] = call.chain;
    if (place?.file !== file || !holds(place, at)) continue;
    if (!innermost || before(innermost.place, place)) innermost = { call, place };
  }
  return innermost?.call;
}

/** The molds that a call went into. */
export function moldsOf(call: CallView, molds: readonly MoldView[]): MoldView[] {
  return molds.filter((mold) => mold.calls.some((one) => one === call.call || call.lights.includes(one)));
}

/** Calls that make a body or a mold, by the last word of their name. */
export const solidCalls: ReadonlySet<string> = new Set([
  "mold",
  "loft",
  "revolve",
  "sweep",
  "solid",
  "trim",
  "shrink",
  "inside",
  "fit",
]);

/** A number in a text that is a fired length, with where it ends. */
export interface FiredLength {
  mm: number;
  /** From the start of the text that was searched. */
  end: number;
}

const lengthKeys = /\b(?:diameter|acrossFlats|width|depth)\s*:\s*(\d+(?:\.\d+)?)(?=\s*[,}])/g;
const heightArgument = /\bat\s*\(\s*(\d+(?:\.\d+)?)\s*\)$/;

/**
 * Fired lengths written as plain numbers in a call: the sizes of an outline, the height of a
 * section. `text` is the call from its name to its closing bracket.
 */
export function firedLengths(name: string, text: string): FiredLength[] {
  if (name === "at") {
    const found = heightArgument.exec(text);
    if (!found || Number(found[1]) === 0) return [];
    return [{ mm: Number(found[1]), end: text.lastIndexOf(found[1]) + found[1].length }];
  }
  if (!name.startsWith("profile.")) return [];
  return [...text.matchAll(lengthKeys)].map((found) => {
    return { mm: Number(found[1]), end: found.index + found[0].length };
  });
}
