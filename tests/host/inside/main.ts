import { runTests } from "./runner.ts";
import "./looking.ts";
import "./fixing.ts";
import "./exporting.ts";

/** What the extension host calls. */
export const run = (): Promise<void> => runTests();
