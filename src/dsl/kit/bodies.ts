import type { CallId } from "../../../shared/place.ts";
import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { asFraction, checkNumber, show } from "./options.ts";
import type { Clay } from "./clay.ts";
import { keptWorkshop } from "./record.ts";

/** The first argument as a body. */
export function checkBody(name: string, call: CallId, body: unknown): Body {
  if (body instanceof Body) return body;
  throw new KitError(
    "kit-wrong-type",
    { call: name, key: "the first argument", allowed: "a body, such as loft(…)", value: show(body) },
    { call, argument: 0 },
  );
}

/** A clay, the name of one that the workshop keeps, or its total linear shrinkage as a fraction of the wet length. */
export function checkShrinkage(
  name: string,
  call: CallId,
  argument: number,
  value: unknown,
  path: string[] = [],
): { clay: Clay | null; total: number } {
  if (isClay(value)) return { clay: value, total: value.total };
  const target = { call, argument, path };
  const key = path.length > 0 ? path.join(".") : "the shrinkage";
  if (typeof value === "string") {
    const kept = keptWorkshop().clays;
    const clay = kept.get(value);
    if (clay) return { clay, total: clay.total };
    const known = [...kept.keys()].map((one) => `“${one}”`).join(", ");
    const allowed = known
      ? `a clay of slabwright.json (${known}), a clay(…) or a fraction`
      : "a clay(…) or a fraction, since no slabwright.json beside or above this design names a clay";
    throw new KitError("kit-wrong-type", { call: name, key, allowed, value: show(value) }, target);
  }
  if (typeof value === "number" && value >= 1 && value < 30) {
    throw new KitError(
      "kit-looks-like-percent",
      { call: name, key, value, fraction: asFraction(value) },
      target,
    );
  }
  const site = { name, call, argument, path: path.slice(0, -1) };
  const total = checkNumber(site, path.at(-1) ?? key, value, { min: 0, below: 0.3 }, path.length === 0);
  return { clay: null, total };
}

export const isClay = (value: unknown): value is Clay =>
  typeof value === "object" && value !== null && (value as Clay).kind === "clay" && Object.isFrozen(value);
