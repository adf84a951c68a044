import { KitError } from "./error.ts";
import { checkKeys, checkNumber, show } from "./options.ts";
import { recordCall, recordParam } from "./record.ts";

/**
 * A number with a slider in the preview. Its value lives in the code; moving the slider writes it
 * back there.
 *
 * @param name shown beside the slider, unique in a design
 * @param value within min…max
 * @param options `min`, `max`, and `step` (default a hundredth of the range, to a round number)
 */
export function param(
  name: string,
  value: number,
  options: { min: number; max: number; step?: number },
): number {
  const call = recordCall("param");
  if (typeof name !== "string" || name.trim() === "" || name.length > 60) {
    throw new KitError(
      "kit-wrong-type",
      { call: "param", key: "name", allowed: "a text of 1 to 60 characters", value: show(name) },
      { call, argument: 0 },
    );
  }
  const site = { name: "param", call, argument: 2 };
  const given = checkKeys(site, options, ["min", "max", "step"]);
  const min = checkNumber(site, "min", given.min, {});
  const max = checkNumber(site, "max", given.max, { above: min });
  const step = checkNumber(site, "step", given.step ?? roundStep((max - min) / 100), {
    above: 0,
    max: max - min,
  });
  checkNumber({ name: "param", call, argument: 1 }, "value", value, { min, max }, true);
  return recordParam({ call, name, value, min, max, step });
}

/** The nearest of 1, 2, 5 times a power of ten, not above. */
function roundStep(step: number): number {
  let unit = 1;
  while (unit > step) unit /= 10;
  while (unit * 10 <= step) unit *= 10;
  return step >= 5 * unit ? 5 * unit : step >= 2 * unit ? 2 * unit : unit;
}
