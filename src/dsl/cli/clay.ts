import { existsSync, readFileSync, statSync } from "node:fs";
import { basename, extname, resolve } from "node:path";
import { BarsError, parseBars, type Bar } from "../clay/bars.ts";
import { measure, type Measured } from "../clay/measured.ts";
import { moldScale } from "../clay/shrinkage.ts";
import { batchHalfWidth, pieceHalfWidth, readingUncertainty, type Sample } from "../clay/statistics.ts";
import type { Command } from "./command.ts";
import { shownPath } from "./report.ts";
import type { Terminal } from "./terminal.ts";
import { UsageError } from "./usage.ts";

/** The fired size that uncertainties are told for, mm. */
const FIRED = 100;

/** Turns measured test bars into a clay for a design; gives the exit status. */
export function runClay(command: Extract<Command, { kind: "clay" }>, terminal: Terminal): number {
  const path = resolve(terminal.cwd, command.file);
  if (!existsSync(path) || !statSync(path).isFile())
    throw new UsageError(`There is no file ${command.file}.`);
  let bars: Bar[];
  try {
    bars = parseBars(readFileSync(path, "utf8"));
  } catch (error) {
    if (!(error instanceof BarsError)) throw error;
    const reason = error.message.replace(/^line \d+: /, "");
    terminal.err(`${shownPath(path, terminal.cwd)}:${error.line}:1: bars: ${reason}\n`);
    return 1;
  }
  const found = measure(bars);
  const shrinks = found.steps
    ? `drying: ${found.steps.drying}, firing: ${found.steps.firing}`
    : `total: ${found.rounded}`;
  const code = `clay({ name: ${JSON.stringify(basename(path, extname(path)))}, ${shrinks} })`;
  terminal.out(
    command.json ? `${JSON.stringify(clayJson(found, code), null, 2)}\n` : clayText(found, bars, code),
  );
  return 0;
}

/** Fractions, and ± mm at 95 % on a fired size of 100 mm; null where one bar says nothing. */
function clayJson({ total, drying, firing, rounded }: Measured, code: string) {
  return {
    total,
    drying,
    firing,
    scale: moldScale(rounded),
    per100mm: { batch: batchHalfWidth(FIRED, total), piece: pieceHalfWidth(FIRED, total) },
    code,
  };
}

function clayText({ total, drying, firing, rounded }: Measured, bars: readonly Bar[], code: string): string {
  const digits = total.n === 1 ? 0 : 2;
  const percent = (fraction: number) => `${(fraction * 100).toFixed(digits)} %`;
  const spread = ({ se, sd }: Sample) =>
    se === null || sd === null
      ? ""
      : `   standard error ${(se * 100).toFixed(2)}, from bar to bar ${(sd * 100).toFixed(2)}`;
  const lines = [`${total.n} ${total.n === 1 ? "bar" : "bars"}`];
  if (drying && firing) {
    lines.push(
      `drying   ${percent(drying.mean)}${spread(drying)}`,
      `firing   ${percent(firing.mean)}${spread(firing)}`,
    );
  }
  lines.push(`total    ${percent(total.mean)}${spread(total)}`, `scale    ${moldScale(rounded).toFixed(4)}`);
  const batch = batchHalfWidth(FIRED, total);
  const piece = pieceHalfWidth(FIRED, total);
  if (batch === null || piece === null) {
    const reading = (readingUncertainty(Math.min(...bars.map(({ wet }) => wet))) * 100).toFixed(1);
    lines.push(
      `One bar says nothing of its spread, and reading it on a 0.5 mm rule is good to ±${reading} points. Measure five.`,
    );
  } else {
    lines.push(
      `A pot of ${FIRED} mm fired: a batch lies within ±${batch.toFixed(2)} mm, one pot within ±${piece.toFixed(2)} mm (95 %).`,
    );
  }
  return [...lines, "", code, ""].join("\n");
}
