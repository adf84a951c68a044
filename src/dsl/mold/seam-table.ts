import { shareBelow, WRONG } from "../leaving/facing.ts";
import { asinDeg } from "../leaving/vector.ts";
import type { Vec3 } from "./model.ts";
import type { SeamTrial } from "./seam-trial.ts";

/** Places around the form, one a degree. */
export const PLACES = 360;
/** Directions looked in: these elevations, degrees, and how many azimuths at each. */
const NEARLY_LEVEL: readonly (readonly [elevation: number, azimuths: number])[] = [
  [0, 48],
  [5, 48],
  [12, 48],
  [25, 48],
];
/** Parts that reach round a form which widens upwards leave it steeply. */
const STEEP: typeof NEARLY_LEVEL = [
  [40, 36],
  [54, 28],
  [66, 20],
  [76, 12],
  [84, 6],
  [90, 1],
];

/** What a stretch of the form leaves to the best of the directions looked in. */
export interface Stretch {
  /** Area that faces the wrong way, mm². */
  area: number;
  /** Least draft, degrees. */
  draftDeg: number;
  direction: Vec3;
}

/**
 * How much clay faces the wrong way along each of some hundred directions, summed around the form,
 * so that any stretch between two seams is one subtraction. A seam that follows the form has its
 * place in u, a flat one in polar angle about the middle of each level; both in degrees.
 */
export class SeamTable {
  readonly directions: Vec3[];
  /** [direction · (PLACES + 1) + place]: area before the place. */
  readonly #sums: Float64Array;
  /** [direction · PLACES + place]: least n·m. */
  readonly #least: Float64Array;
  /** Scratch: areas by direction. */
  readonly #areas: Float64Array;

  /** @param nearlyLevel the same of directions up to 25°; with it steeper ones are looked in too */
  constructor(
    trial: SeamTrial,
    follow: "form" | "flat",
    options: { level: boolean; up: 1 | -1 },
    nearlyLevel: SeamTable | null,
  ) {
    const more = directionsOf(
      nearlyLevel ? (options.level ? [] : STEEP) : options.level ? NEARLY_LEVEL.slice(0, 1) : NEARLY_LEVEL,
      options.up,
    );
    const first = nearlyLevel?.directions.length ?? 0;
    this.directions = [...(nearlyLevel?.directions ?? []), ...more];
    const count = this.directions.length;
    this.#sums = new Float64Array(count * (PLACES + 1));
    this.#areas = new Float64Array(count);
    this.#least = new Float64Array(count * PLACES).fill(1);
    if (nearlyLevel) {
      this.#sums.set(nearlyLevel.#sums);
      this.#least.set(nearlyLevel.#least);
    }
    const { normals, corners, areas } = trial;
    const spread = placesOf(trial, follow);
    const sines = new Float64Array(normals.length / 3);
    const here = new Float64Array(PLACES);
    const groups = spread.first.length;
    const groupArea = new Float64Array(groups);
    const groupLeast = new Float64Array(groups);
    more.forEach(([x, y, z], own) => {
      const d = first + own;
      for (let i = 0, n = 0; i < sines.length; i++, n += 3)
        sines[i] = normals[n] * x + normals[n + 1] * y + normals[n + 2] * z;
      groupArea.fill(0);
      groupLeast.fill(1);
      for (let cell = 0, group = 0, c = 0; c < corners.length; cell++, c += 4) {
        const a = sines[corners[c]];
        const b = sines[corners[c + 1]];
        const e = sines[corners[c + 2]];
        const f = sines[corners[c + 3]];
        const low = a < b ? a : b;
        const high = e < f ? e : f;
        const lowest = low < high ? low : high;
        if (lowest < groupLeast[group]) groupLeast[group] = lowest;
        if (lowest < WRONG)
          groupArea[group] +=
            areas[2 * cell] * shareBelow(a, b, e) + areas[2 * cell + 1] * shareBelow(a, e, f);
        if (++group === groups) group = 0;
      }
      here.fill(0);
      const least = this.#least.subarray(d * PLACES, (d + 1) * PLACES);
      for (let group = 0; group < groups; group++) {
        const places = spread.count[group];
        const lowest = groupLeast[group];
        const area = groupArea[group] / places;
        for (let k = 0, place = spread.first[group]; k < places; k++) {
          if (lowest < least[place]) least[place] = lowest;
          here[place] += area;
          if (++place === PLACES) place = 0;
        }
      }
      const row = d * (PLACES + 1);
      for (let place = 0; place < PLACES; place++)
        this.#sums[row + place + 1] = this.#sums[row + place] + here[place];
    });
  }

  /** The best direction for the stretch of so many places from one on. */
  best(from: number, places: number): Stretch {
    const count = this.directions.length;
    const areas = this.#areas;
    let least = Infinity;
    for (let d = 0; d < count; d++) {
      const area = this.#area(d, from, places);
      areas[d] = area;
      if (area < least) least = area;
    }
    let chosen = 0;
    let draft = -Infinity;
    for (let d = 0; d < count; d++) {
      if (areas[d] > least + SAME_AREA) continue;
      const sine = this.#leastSine(d, from, places, draft);
      if (sine > draft) {
        draft = sine;
        chosen = d;
      }
    }
    return { area: areas[chosen], draftDeg: asinDeg(draft), direction: this.directions[chosen] };
  }

  /** All directions, those first along which the stretch faces the wrong way with the least area. */
  byArea(from: number, places: number): Vec3[] {
    const areas = this.directions.map((_, d) => this.#area(d, from, places));
    return [...areas.keys()].sort((a, b) => areas[a] - areas[b]).map((d) => this.directions[d]);
  }

  #area(direction: number, from: number, places: number): number {
    const row = direction * (PLACES + 1);
    const sums = this.#sums;
    const to = from + places;
    if (to <= PLACES) return sums[row + to] - sums[row + from];
    return sums[row + PLACES] - sums[row + from] + sums[row + to - PLACES];
  }

  /** Least n·m of a stretch; looking stops where it falls below `enough`. */
  #leastSine(direction: number, from: number, places: number, enough: number): number {
    const row = direction * PLACES;
    let least = 1;
    for (let k = 0, place = from; k < places && least > enough; k++) {
      if (this.#least[row + place] < least) least = this.#least[row + place];
      if (++place === PLACES) place = 0;
    }
    return least;
  }
}

function directionsOf(rings: typeof NEARLY_LEVEL, up: 1 | -1): Vec3[] {
  return rings.flatMap(([elevation, azimuths]) =>
    Array.from({ length: azimuths }, (_, k): Vec3 => {
      const [e, a] = [(elevation * Math.PI) / 180, (2 * Math.PI * k) / azimuths];
      return [Math.cos(e) * Math.cos(a), Math.cos(e) * Math.sin(a), up * Math.sin(e)];
    }),
  );
}

/** Areas of the table that differ by less are equal, mm². */
const SAME_AREA = 1;

/**
 * The places that cells cover: the first and how many. Of seams with the form all cells of a strip cover
 * the same, and it is given once for each strip; of flat ones it is given for each cell.
 */
function placesOf(trial: SeamTrial, follow: "form" | "flat"): { first: Int32Array; count: Int32Array } {
  const { columns, bands, us, angle } = trial;
  const rows = follow === "form" ? 1 : bands;
  const first = new Int32Array(rows * columns);
  const count = new Int32Array(rows * columns);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const cell = j * columns + i;
      let from = us[i];
      let to = i + 1 < columns ? us[i + 1] : 1;
      if (follow === "flat") {
        const at = (row: number, column: number) =>
          column < columns ? angle[row * columns + column] : angle[row * columns] + 2 * Math.PI;
        from = (at(j, i) + at(j + 1, i)) / (4 * Math.PI);
        to = (at(j, i + 1) + at(j + 1, i + 1)) / (4 * Math.PI);
      }
      const low = Math.floor(from * PLACES + 1e-6);
      const high = Math.max(low + 1, Math.ceil(to * PLACES - 1e-6));
      first[cell] = ((low % PLACES) + PLACES) % PLACES;
      count[cell] = Math.min(PLACES, high - low);
    }
  return { first, count };
}
