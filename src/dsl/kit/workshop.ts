import { SETTINGS_FILE, type SettingsFile } from "../../../shared/settings.ts";
import { checkClay, type Clay } from "./clay.ts";
import { DEFAULT_HAND, type Hand } from "./hand.ts";
import { checkDefaults, type MoldDefaults } from "./mold-defaults.ts";
import { checkNumber, type Site } from "./options.ts";
import { checkPrinter, type PrinterSpec } from "./printer.ts";

/** What a workshop keeps for all of its designs. */
export interface Workshop {
  /** Absolute path of the file that says it; null where there is none. */
  readonly file: string | null;
  readonly printers: ReadonlyMap<string, PrinterSpec>;
  readonly clays: ReadonlyMap<string, Clay>;
  readonly hand: Hand;
  /** Options of `mold` where a design says nothing. */
  readonly defaults: MoldDefaults;
}

/**
 * Checks each value as the kit would in a design. A `KitError` names the key from the outermost
 * on in its target's path.
 */
export function checkWorkshop(file: string, given: SettingsFile): Workshop {
  const site: Site = { name: SETTINGS_FILE, call: -1, argument: 0 };
  const printers = new Map(
    Object.entries(given.printers ?? {}).map(([name, printer]) => [
      name,
      checkPrinter({ ...site, path: ["printers", name] }, printer, name),
    ]),
  );
  const clays = new Map(
    Object.entries(given.clays ?? {}).map(([name, clay]) => [
      name,
      checkClay({ ...site, path: ["clays", name] }, { name, ...clay }),
    ]),
  );
  const inHand: Site = { ...site, path: ["hand"] };
  const measure = (key: keyof Hand, min: number, max: number) =>
    given.hand?.[key] === undefined
      ? DEFAULT_HAND[key]
      : checkNumber(inHand, key, given.hand[key], { min, max, unit: "mm" });
  return Object.freeze({
    file,
    printers,
    clays,
    hand: Object.freeze({
      breadth: measure("breadth", 40, 140),
      length: measure("length", 90, 280),
      forearm: measure("forearm", 120, 600),
    }),
    defaults: checkDefaults({ ...site, path: ["defaults"] }, given.defaults ?? {}, printers),
  });
}
