import { closeAll } from "./design.ts";
import { afterEach, runTests } from "./runner.ts";
import "./looking.ts";
import "./fixing.ts";
import "./exporting.ts";
import "./changing.ts";
import "./moving.ts";
import "./commands.ts";
import "./typing.ts";

afterEach(closeAll);

/** What the extension host calls. */
export const run = (): Promise<void> => runTests();
