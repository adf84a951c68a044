import type { MeasureRequest, MeasureResult } from "../../../shared/engine.ts";
import { BarsError, parseBars, type Bar } from "../clay/bars.ts";
import { measure } from "../clay/measured.ts";
import { moldScale } from "../clay/shrinkage.ts";
import { batchHalfWidth, pieceHalfWidth, readingUncertainty, studentT95 } from "../clay/statistics.ts";
import { applyEdits, SourceError, SourceModule, withoutMark, writeClay } from "../source/index.ts";

/** The fired size that uncertainties are told for, mm. */
const FIRED = 100;

/** What test bars say, and the design with them in it. Runs nothing of the maker's. */
export function measureBars({ name, table, design }: MeasureRequest): MeasureResult {
  let bars: Bar[];
  try {
    bars = parseBars(table);
  } catch (error) {
    if (!(error instanceof BarsError)) throw error;
    return { fault: { line: error.line, reason: error.message.replace(/^line \d+: /, "") } };
  }
  const { total, rounded } = measure(bars);
  return {
    n: total.n,
    total: total.mean,
    bandOfMean: total.se === null ? null : studentT95(total.n - 1) * total.se,
    reading: readingUncertainty(Math.min(...bars.map(({ wet }) => wet))),
    scale: moldScale(rounded),
    batchPer100: batchHalfWidth(FIRED, total),
    piecePer100: pieceHalfWidth(FIRED, total),
    code: clayCode(name, bars),
    ...(design !== undefined && { design: withClay(design, name, bars) }),
  };
}

/** The clay as one line of a design. */
function clayCode(name: string, bars: readonly Bar[]): string {
  const list = bars.map(({ wet, dry, fired }) => {
    return dry === undefined
      ? `{ wet: ${wet}, fired: ${fired} }`
      : `{ wet: ${wet}, dry: ${dry}, fired: ${fired} }`;
  });
  return `clay({ name: ${JSON.stringify(name)}, bars: [${list.join(", ")}] })`;
}

/** Null where the text does not parse, or `clay` means something else in it. */
function withClay(text: string, name: string, bars: readonly Bar[]) {
  const plain = withoutMark(text);
  try {
    const written = writeClay(new SourceModule(plain), { name, bars });
    if (!written) return null;
    const { edits, constant, used } = written;
    return {
      text: applyEdits(
        plain,
        edits.map((edit) => ({ file: "", ...edit })),
      ),
      constant,
      used,
    };
  } catch (error) {
    if (error instanceof SourceError) return null;
    throw error;
  }
}
