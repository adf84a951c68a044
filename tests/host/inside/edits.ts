/** Numbers from 0 to 1, the same for the same seed (mulberry32, public domain). */
export function randomNumbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A text after an edit, and whether the design can still run. */
export interface Edited {
  text: string;
  what: string;
}

const pick = <T>(random: () => number, list: readonly T[]): T => list[Math.floor(random() * list.length)];
const whole = (random: () => number, from: number, to: number) =>
  from + Math.floor(random() * (to - from + 1));

/** Words that somebody might be in the middle of. */
const garbage = [
  "const ",
  "}",
  "((",
  "`",
  "/*",
  "'",
  "= ;",
  "lip.",
  "mold(",
  "⚱",
  "\\u{",
  "@",
  "enum E {}",
  "await 1;",
];
const lines = [
  "throw new Error('no');",
  "console.log('x'.repeat(5000));",
  "null.x;",
  "const big = Array(1e6).fill(0);",
  "Promise.reject(1);",
  "(function f() { f(); })();",
];

/** Changes of a design that leave it one: numbers and words that a maker tries. */
export function goodEdit(random: () => number, text: string): Edited {
  const numbers: [RegExp, string][] = [
    [/lip\.at\([^)]*\)/, `lip.at(${whole(random, 70, 130)})`],
    [/acrossFlats: [\d.]+, corner: 4/, `acrossFlats: ${whole(random, 56, 66)}, corner: 4`],
    [/parts: \d/, `parts: ${pick(random, [2, 4])}`],
    [/shape: "\w+"/, `shape: "${pick(random, ["cone", "dome"])}"`],
    [/slab: [\d.]+/, `slab: ${pick(random, [5, 5.5, 6, 7])}`],
  ];
  const [where, now] = pick(random, numbers);
  return { text: text.replace(where, now), what: now };
}

/** Changes that most often leave no design at all. */
export function badEdit(random: () => number, text: string): Edited {
  const at = whole(random, 0, text.length);
  switch (whole(random, 0, 4)) {
    case 0: {
      const word = pick(random, garbage);
      return { text: text.slice(0, at) + word + text.slice(at), what: `“${word}” at ${at}` };
    }
    case 1: {
      const end = Math.min(text.length, at + whole(random, 1, 60));
      return { text: text.slice(0, at) + text.slice(end), what: `without ${at}–${end}` };
    }
    case 2: {
      const line = pick(random, lines);
      return { text: text.replace(/^export default/m, `${line}\nexport default`), what: line };
    }
    case 3: {
      const number = pick(random, ["-1", "0", "1e9", "NaN", "1e-9", "Infinity", "1/0"]);
      return { text: text.replace(/lip\.at\([^)]*\)/, `lip.at(${number})`), what: `lip.at(${number})` };
    }
    default:
      return { text: "", what: "nothing" };
  }
}
