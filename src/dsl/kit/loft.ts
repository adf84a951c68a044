import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { checkChoice, checkKeys, show } from "./options.ts";
import { Section } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";

export const LOFT_DEFAULTS = Object.freeze({ side: "smooth", open: "top" } as const);

/**
 * A body through level sections, from the board upwards: `loft([foot.at(0), lip.at(104)])`.
 *
 * Outlines of one kind with equally many sides correspond side by side; others by their angle
 * about the centre. Turning is interpolated apart from the shape, so a twist never pinches.
 *
 * @param sections two or more outlines `.at(z)`, fired mm, z rising, the lowest at 0
 * @param options `side`: "smooth" (monotone curves, no bulge that nobody wrote) or "straight";
 *   `open`: where the mold ends in a flat trimming face, "top", "bottom" or "both"
 */
export function loft(
  sections: readonly Section[],
  options?: { side?: "smooth" | "straight"; open?: "top" | "bottom" | "both" },
): Body {
  const call = recordCall("loft");
  const name = "loft";
  const target = { call, argument: 0 };
  if (!Array.isArray(sections) || sections.length < 2) {
    throw new KitError(
      "kit-wrong-type",
      {
        call: name,
        key: "sections",
        allowed: "an array of at least two outlines .at(z)",
        value: show(sections),
      },
      target,
    );
  }
  sections.forEach((section, i) => {
    if (!(section instanceof Section)) {
      throw new KitError(
        "kit-wrong-type",
        { call: name, key: `section ${i + 1}`, allowed: "an outline .at(z)", value: show(section) },
        target,
      );
    }
    const before = sections[i - 1] as Section | undefined;
    if (before && section.z <= before.z) {
      const reason = `section ${i + 1} is at z ${section.z}, not above section ${i} at z ${before.z}; write them from the board upwards.`;
      throw new KitError("kit-conflict", { call: name, reason }, { call: section.call });
    }
  });
  const lowest = sections[0] as Section;
  if (lowest.z !== 0) {
    const reason = `the lowest section is at z ${lowest.z}; a vessel stands on z = 0.`;
    throw new KitError("kit-conflict", { call: name, reason }, { call: lowest.call });
  }
  const site = { name, call, argument: 1 };
  const given = { ...LOFT_DEFAULTS, ...checkKeys(site, options, ["side", "open"]) };
  const side = checkChoice(site, "side", given.side, ["smooth", "straight"]);
  const open = checkChoice(site, "open", given.open, ["top", "bottom", "both"]);
  const checked = sections as readonly Section[];
  recordMade(
    call,
    checked.map((section) => section.call),
  );
  return new Body(checked, side, open, call);
}
