import { appendFileSync } from "node:fs";

/** Hands a JSON line to whoever started this run, by the file that `SLABWRIGHT_TEST_REPORT` names. */
export function report(line: object): void {
  const file = process.env.SLABWRIGHT_TEST_REPORT;
  if (file) appendFileSync(file, `${JSON.stringify(line)}\n`);
  else console.log(JSON.stringify(line));
}
