import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { Stuck } from "../mold/opening.ts";
import { angleOf } from "./numbers.ts";
import { seamFixes } from "./seam-fixes.ts";

/**
 * Parts that no straight move frees while the others are there, every one with those that it would
 * run into and with the ring of parts, each held by the next, that keeps it: its own, or one that it
 * waits for.
 */
export function partLocked(built: BuiltMold): Finding[] {
  const { spec, model, opened } = built;
  const target = { call: spec.seams.call >= 0 ? spec.seams.call : spec.call };
  const walls = opened.stuck.filter(({ part }) => part !== FLOOR);
  return walls.map(({ part, by }): Finding => {
    const fixes = seamFixes(built, "part-locked");
    const base = { code: "part-locked", severity: "error", target, mold: model.name, part, fixes } as const;
    const area = Math.round(by.reduce((sum, hit) => sum + hit.areaMm2, 0));
    if (by.length === 0) {
      const others = list(walls.map((one) => one.part).filter((name) => name !== part));
      return { ...base, variant: "behind", args: { part, others }, value: 0, limit: 0, unit: "mm²" };
    }
    const worst = by.reduce((a, b) => (b.areaMm2 > a.areaMm2 ? b : a));
    const ring = ringOf(opened.stuck, part);
    const variant = by.every((hit) => hit.part === FLOOR)
      ? "floor"
      : ring && (ring.includes(part) ? "ring" : "waits");
    return {
      ...base,
      ...(variant ? { variant } : {}),
      args: {
        part,
        ...(ring && { ring: [...ring, ring[0]].map(called).join(" → ") }),
        others: list(by.map((hit) => called(hit.part))),
        area: Math.max(1, area),
        z: Math.round(worst.at[2]),
        angle: angleOf(worst.at),
      },
      value: area,
      limit: 0,
      unit: "mm²",
      at: worst.at,
      places: by.map((hit) => hit.at),
    };
  });
}

const FLOOR = "floor";

const called = (part: string) => (part === FLOOR ? "the floor" : part);

/**
 * The shortest ring of parts, each running into the next, that begins with this part; else the first
 * one that is met from it. Every part that is left is held by another that is left, so there is one
 * wherever something holds.
 */
function ringOf(stuck: readonly Stuck[], part: string): string[] | null {
  const holders = new Map(stuck.map((one) => [one.part, one.by.map((hit) => hit.part)]));
  const own = shortestRing(holders, part);
  if (own) return own;
  const met = new Set(holders.get(part));
  // A set that grows while it is walked gives its new members too.
  for (const other of met) {
    const ring = shortestRing(holders, other);
    if (ring) return ring;
    for (const next of holders.get(other) ?? []) met.add(next);
  }
  return null;
}

function shortestRing(holders: ReadonlyMap<string, readonly string[]>, start: string): string[] | null {
  const from = new Map<string, string>();
  const reached = [start];
  for (const at of reached) {
    for (const next of holders.get(at) ?? []) {
      if (next === start) {
        const ring = [at];
        while (ring[0] !== start) ring.unshift(from.get(ring[0])!);
        return ring;
      }
      if (from.has(next)) continue;
      from.set(next, at);
      reached.push(next);
    }
  }
  return null;
}

function list(names: readonly string[]): string {
  return names.length < 2 ? names.join() : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}
