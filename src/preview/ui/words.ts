import type { PreviewWord } from "../../../shared/preview.ts";

/** What the page says, in the maker's language. */
export type Words = Readonly<Record<PreviewWord, string>>;

/** A sentence with its {0}, {1}, … replaced by these values. */
export function fill(sentence: string, ...values: (string | number)[]): string {
  return sentence.replace(/\{(\d+)\}/g, (place, index: string) => String(values[Number(index)] ?? place));
}
