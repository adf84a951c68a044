import type { SettingsFile } from "../../../shared/settings.ts";
import { checkBase, checkPart, checkSlab, checkVents, checkWall } from "./mold-options.ts";
import { checkChoice, type Site } from "./options.ts";
import { checkPrinter, printerOf, type PrinterSpec } from "./printer.ts";

/** Options of `mold` that a workshop has made up its mind about; each checked by itself. */
export type MoldDefaults = Omit<NonNullable<SettingsFile["defaults"]>, "printer"> & {
  readonly printer?: PrinterSpec;
};

/** Checks each default as the option it stands for. What goes with what shows only in a design. */
export function checkDefaults(
  site: Site,
  given: NonNullable<SettingsFile["defaults"]>,
  printers: ReadonlyMap<string, PrinterSpec>,
): MoldDefaults {
  const { printer, ...rest } = given;
  if (given.slab !== undefined) checkSlab(site, given.slab);
  if (given.wall !== undefined) checkWall(site, given.wall);
  if (given.base !== undefined) checkBase(site, given.base, 6);
  if (given.press !== undefined) checkChoice(site, "press", given.press, ["closed", "parts"]);
  if (given.stand !== undefined) checkChoice(site, "stand", given.stand, ["foot", "rim"]);
  if (given.vents !== undefined) checkVents(site, given.vents);
  for (const name of ["flange", "bands", "rim", "limits"] as const) checkPart(site, name, given[name]);
  const inner: Site = { ...site, path: [...(site.path ?? []), "printer"] };
  return Object.freeze({
    ...rest,
    ...(printer === undefined
      ? {}
      : {
          printer:
            typeof printer === "string"
              ? printerOf(site, "printer", printer, printers)
              : checkPrinter(inner, printer, null),
        }),
  });
}
