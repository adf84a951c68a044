/** Ways in which a text goes wrong, or right again, under somebody's hands. */
type Mutation = (text: string, random: () => number) => string;

const pick = <T>(list: readonly T[], random: () => number): T => list[Math.floor(random() * list.length)];

/** The text with one of its numbers replaced. */
function withNumber(text: string, random: () => number, value: (before: number) => string): string {
  const numbers = [...text.matchAll(/(?<![\w"'])\d+(?:\.\d+)?/g)];
  if (numbers.length === 0) return text;
  const { index, 0: before } = pick(numbers, random);
  return text.slice(0, index) + value(Number(before)) + text.slice(index + before.length);
}

function withLines(text: string, change: (lines: string[]) => void): string {
  const lines = text.split("\n");
  change(lines);
  return lines.join("\n");
}

const at = (text: string, random: () => number) => Math.floor(random() * (text.length + 1));

export const mutations: Readonly<Record<string, Mutation>> = {
  "another number": (text, random) =>
    withNumber(text, random, (before) => String(Number((before * (0.85 + 0.3 * random())).toPrecision(4)))),
  "a senseless number": (text, random) =>
    withNumber(text, random, () =>
      pick(["0", "-1", "1e9", "1e308 * 10", "0 / 0", "1e-9", "99999", "null"], random),
    ),
  "characters gone": (text, random) => {
    const from = at(text, random);
    return text.slice(0, from) + text.slice(from + 1 + Math.floor(random() * 12));
  },
  "characters too many": (text, random) => {
    const from = at(text, random);
    const garbage = Array.from({ length: 1 + Math.floor(random() * 8) }, () =>
      pick([..."(){}[];,.=<>`\"'\\/*é😀\u2028 xyz019"], random),
    );
    return text.slice(0, from) + garbage.join("") + text.slice(from);
  },
  "a line twice": (text, random) =>
    withLines(text, (lines) => {
      const i = Math.floor(random() * lines.length);
      lines.splice(i, 0, lines[i]);
    }),
  "a line gone": (text, random) =>
    withLines(text, (lines) => lines.splice(Math.floor(random() * lines.length), 1)),
  "lines swapped": (text, random) =>
    withLines(text, (lines) => {
      const i = Math.floor(random() * (lines.length - 1));
      [lines[i], lines[i + 1]] = [lines[i + 1], lines[i]];
    }),
  "a throw": (text) => text.replace("export default", 'throw new Error("not today");\nexport default'),
  "a flood": (text) =>
    text.replace("export default", "for (let i = 0; i < 5000; i++) console.log(i);\nexport default"),
  "a deep call": (text) =>
    text.replace("export default", "const deep = (): number => deep() + 1;\ndeep();\nexport default"),
};

/** A loop without end; kept apart, since nothing but a process of its own can be asked to run it. */
export const endless = (text: string) => text.replace("export default", "for (;;);\nexport default");
