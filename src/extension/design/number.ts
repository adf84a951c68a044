/** The range of a slider. */
export interface SliderRange {
  min: number;
  max: number;
  step: number;
}

const digits = String.raw`0[xob][\da-f_]+|\d[\d_]*\.?[\d_]*(?:e[+-]?\d+)?|\.\d[\d_]*(?:e[+-]?\d+)?`;
const literal = new RegExp(
  String.raw`^([(\s]*)((-?)\s*(${digits}))[)\s!]*(?:(?:as|satisfies)\s+[\w.]+[)\s]*)?$`,
  "i",
);

/**
 * The number literal, or minus one, that an argument consists of but for brackets and types: its
 * value, and where in the text it stands. Undefined when the text is anything else.
 */
export function readLiteral(text: string): { value: number; start: number; end: number } | undefined {
  const match = literal.exec(text);
  if (!match) return undefined;
  const [, before, written, minus, size] = match;
  const value = Number(size.replaceAll("_", ""));
  if (Number.isNaN(value)) return undefined;
  return { value: minus ? -value : value, start: before.length, end: before.length + written.length };
}

/** A value as it is written into the code: within the range, on a step of it, without idle digits. */
export function writeNumber(value: number, { min, max, step }: SliderRange): string {
  const onStep = min + Math.round((value - min) / step) * step;
  const places = Math.max(decimals(step), decimals(min));
  const within = Math.min(max, Math.max(min, Number(onStep.toFixed(places))));
  return String(within === 0 ? 0 : within);
}

/** Digits after the point, up to 12. */
function decimals(value: number): number {
  for (let places = 0; places < 12; places++) {
    if (Number(value.toFixed(places)) === value) return places;
  }
  return 12;
}
