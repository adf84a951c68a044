import type { Finding, Severity } from "../../../shared/finding.ts";

const MOST_PLACES = 20;

const ranks: Record<Severity, number> = { error: 2, warning: 1, info: 0 };

/**
 * One finding for each code, call and part: the worst of them, with the places of all, its own
 * first. A call in a loop makes many molds, and says what is wrong with them once.
 */
export function oneEach(findings: readonly Finding[]): Finding[] {
  const groups = new Map<string, Finding[]>();
  for (const finding of findings) {
    const key = JSON.stringify([finding.code, finding.target.call, finding.part ?? ""]);
    const group = groups.get(key);
    if (group) group.push(finding);
    else groups.set(key, [finding]);
  }
  return [...groups.values()].map((group) => {
    const worst = group.reduce((a, b) => (isWorse(b, a) ? b : a));
    const places = [worst, ...group.filter((one) => one !== worst)].flatMap(placesOf);
    const distinct = [...new Map(places.map((at) => [at.join(" "), at])).values()].slice(0, MOST_PLACES);
    return { ...worst, ...(distinct.length > 1 ? { places: distinct } : {}) };
  });
}

function placesOf({ at, places }: Finding): [number, number, number][] {
  return [...(at ? [at] : []), ...(places ?? [])];
}

/** Graver, or further beyond its limit. */
function isWorse(a: Finding, b: Finding): boolean {
  const graver = ranks[a.severity] - ranks[b.severity];
  return graver > 0 || (graver === 0 && beyond(a) > beyond(b));
}

const beyond = ({ value, limit }: Finding) =>
  value === undefined || limit === undefined ? 0 : Math.abs(value - limit);
