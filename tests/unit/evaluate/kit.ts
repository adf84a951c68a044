import { KitError } from "../../../src/dsl/kit/error.ts";
import { recordCall, recordParam } from "../../../src/dsl/kit/record.ts";
import type { CallId } from "../../../shared/place.ts";

/** A kit of three words for tests: it records its calls like the real one and computes nothing. */
export interface Thing {
  name: string;
  call: CallId;
  given: unknown[];
  at(z: number): Thing;
}

function thing(name: string, given: unknown[]): Thing {
  const call = recordCall(name);
  return { name, call, given, at: (z) => thing(`${name}.at`, [z]) };
}

export const profile = {
  circle: (options: unknown) => thing("profile.circle", [options]),
  polar: (radius: (angle: number) => number) => thing("profile.polar", [radius(0), radius(90)]),
};
export const loft = (sections: unknown, options?: unknown) => thing("loft", [sections, options]);
export const shrink = (body: unknown, total: unknown) => thing("shrink", [body, total]);

export function mold(body: unknown, options: Record<string, unknown> = {}): Thing {
  const made = thing("mold", [body, options]);
  for (const key of Object.keys(options)) {
    if (["wall", "slab", "flange", "printer", "name"].includes(key)) continue;
    const target = { call: made.call, argument: 1, path: [key], ofKey: true };
    const allowed = "Allowed: wall, slab, flange.";
    throw new KitError("kit-unknown-key", { call: "mold", key, allowed }, target);
  }
  return made;
}

export function param(name: string, value: number, range: { min: number; max: number; step?: number }) {
  const call = recordCall("param");
  return recordParam({ call, name, value, step: 1, ...range });
}
