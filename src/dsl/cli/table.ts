import type { ExportResult } from "../../../shared/engine.ts";
import { HOURS_BAND } from "../output/printing.ts";

type Row = ExportResult["parts"][number];

/** The printed parts with size, weight and hours, one line each, and their sums. */
export function partTable(parts: readonly Row[]): string {
  const several = new Set(parts.map(({ mold }) => mold)).size > 1;
  const rows = parts.map((part) => [
    several ? `${part.mold} / ${part.name}` : part.name,
    part.size.map((mm) => mm.toFixed(1)).join(" × "),
    `${part.filamentG.toFixed(0)} g`,
    hours(part.printHours),
    `plate-${part.plate}`,
  ]);
  const sum = (value: (part: Row) => number) => parts.reduce((total, part) => total + value(part), 0);
  const plates = new Set(parts.map(({ mold, plate }) => `${mold} ${plate}`)).size;
  const total = [
    `${parts.length} ${parts.length === 1 ? "part" : "parts"}`,
    "",
    `${sum(({ filamentG }) => filamentG).toFixed(0)} g`,
    hours(sum(({ printHours }) => printHours)),
    `${plates} ${plates === 1 ? "plate" : "plates"}`,
  ];
  const head = ["part", "size, mm", "filament", "printing", "plate"];
  const rightAligned = [false, false, true, true, false];
  const widths = head.map((_, i) => Math.max(...[head, ...rows, total].map((row) => row[i].length)));
  const line = (row: string[]) =>
    row
      .map((cell, i) => (rightAligned[i] ? cell.padStart(widths[i]) : cell.padEnd(widths[i])))
      .join("   ")
      .trimEnd();
  const rule = "─".repeat(widths.reduce((a, b) => a + b) + 3 * (widths.length - 1));
  return [line(head), rule, ...rows.map(line), rule, line(total)].join("\n");
}

/** “2.3–4.2 h”: an estimate with its band. */
function hours(value: number): string {
  const digits = value < 10 ? 1 : 0;
  return `${(value * (1 - HOURS_BAND)).toFixed(digits)}–${(value * (1 + HOURS_BAND)).toFixed(digits)} h`;
}
