/** One test as the runs hand it over, a JSON line each in the in-host run's report file. */
export interface TestLine {
  name: string;
  error?: string;
  milliseconds: number;
}

/** Counts tests and prints one line each as they end. */
export class Tally {
  passed = 0;
  failed = 0;

  add(line: TestLine): void {
    const seconds = (line.milliseconds / 1000).toFixed(1);
    if (line.error === undefined) {
      this.passed++;
      console.log(`pass  ${line.name} (${seconds} s)`);
    } else {
      this.failed++;
      console.log(`FAIL  ${line.name} (${seconds} s)`);
      const lines = line.error.slice(0, 4000).split("\n");
      for (const text of lines.slice(0, 30)) console.log(`      ${text}`);
    }
  }
}
