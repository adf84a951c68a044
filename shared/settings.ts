import * as z from "zod/mini";

/** The name of the file that a workshop keeps beside or above its designs. */
export const SETTINGS_FILE = "slabwright.json";

/** A schema with the sentence that an editor shows beside it. */
function told<S extends z.core.$ZodType>(description: string, schema: S): S {
  z.globalRegistry.add(schema, { description });
  return schema;
}

const number = (description: string) => told(description, z.number());
const fraction = (description: string) => told(description, z.number().check(z.gte(0), z.lt(1)));
const length = (description: string) => told(description, z.number().check(z.gt(0)));

const printer = z.strictObject({
  bed: told(
    "Usable size of the bed: x, y, z, mm.",
    z.optional(z.tuple([z.number(), z.number(), z.number()])),
  ),
  nozzle: z.optional(length("Nozzle, mm.")),
  layer: z.optional(length("Layer, mm; at most 0.8 of the nozzle. Default half the nozzle.")),
  lineWidth: z.optional(length("Width of one printed line, mm. Default 1.125 of the nozzle.")),
  filamentDensity: z.optional(length("g/cm³. Default 1.24, PLA.")),
  flow: z.optional(length("Plastic a second, mm³/s. Default the line's section at 40 mm/s.")),
  spread: z.optional(
    told(
      "How far a printed face stands proud of where it was drawn, mm: half of what a printed hole lacks in width. Keys and floors are drawn that much looser. Default 0.",
      z.number().check(z.gte(0), z.lte(0.5)),
    ),
  ),
});

const clay = z.strictObject({
  name: z.optional(told("Shown on marks and sheets. Default the name under which it is kept.", z.string())),
  total: z.optional(fraction("Wet to fired, linear, fraction of the wet length, such as 0.125.")),
  drying: z.optional(fraction("Wet to dry, fraction of the wet length; with firing, instead of total.")),
  firing: z.optional(fraction("Dry to fired, fraction of the dry length; with drying, instead of total.")),
  bars: told(
    "Test bars, instead of total: lengths in mm.",
    z.optional(
      z.array(
        z.strictObject({
          wet: length("mm"),
          dry: z.optional(length("mm")),
          fired: length("mm"),
        }),
      ),
    ),
  ),
  thickness: z.optional(fraction("Wet to fired across the slab. Default the total.")),
  water: z.optional(fraction("Water in the plastic clay, fraction of its wet mass. Default 0.22.")),
  loi: z.optional(fraction("Loss on ignition, fraction of the dry mass. Default 0.07.")),
  release: z.optional(
    told(
      "Share of the drying that is over when the mold is opened. Default 0.4.",
      z.number().check(z.gte(0), z.lte(1)),
    ),
  ),
});

const base = z.enum(["open", "floor", "closed", "none"]);

const defaults = z.strictObject({
  slab: z.optional(told("Wet clay, mm.", z.union([z.number(), z.literal("solid")]))),
  wall: z.optional(length("Printed shell, mm.")),
  base: z.optional(
    z.union([
      base,
      z.strictObject({
        kind: base,
        join: z.optional(z.enum(["inside", "under"])),
        slab: z.optional(length("mm")),
      }),
    ]),
  ),
  press: z.optional(z.enum(["closed", "parts"])),
  stand: z.optional(z.enum(["foot", "rim"])),
  flange: z.optional(
    z.strictObject({
      width: z.optional(length("Beyond the shell, mm.")),
      thickness: z.optional(length("Of each side, mm.")),
    }),
  ),
  bands: z.optional(
    z.strictObject({
      count: z.optional(number("Seats for rubber bands or straps.")),
      width: z.optional(length("mm")),
      depth: z.optional(length("mm")),
    }),
  ),
  rim: z.optional(z.strictObject({ width: z.optional(number("Beyond the shell, mm.")) })),
  vents: z.optional(
    z.union([
      z.literal(false),
      z.strictObject({ size: z.optional(length("mm")), spacing: z.optional(length("mm")) }),
    ]),
  ),
  printer: z.optional(told("A name from printers, or a printer.", z.union([z.string(), printer]))),
  limits: z.optional(
    z.strictObject({
      draft: z.optional(number("Degrees.")),
      undercut: z.optional(number("mm")),
      stretch: z.optional(number("Fraction.")),
      thinning: z.optional(number("Fraction.")),
      grip: z.optional(number("mm")),
    }),
  ),
});

/** What may stand in `slabwright.json`. Ranges are the kit's, which checks each value as it would in a design. */
export const settingsSchema = z.strictObject({
  $schema: z.optional(z.string()),
  printers: told(
    'Printers of this workshop by name: mold(…, { printer: "name" }).',
    z.optional(z.record(z.string(), printer)),
  ),
  clays: told(
    'Clays of this workshop by name: shrink(body, "name").',
    z.optional(z.record(z.string(), clay)),
  ),
  hand: told(
    "The hand that presses: a joint that it does not reach is told.",
    z.optional(
      z.strictObject({
        breadth: z.optional(length("Across the knuckles, mm. Default 85.")),
        length: z.optional(length("Wrist to tip of the middle finger, mm. Default 180.")),
        forearm: z.optional(length("Around the flexed forearm, mm. Default 300.")),
      }),
    ),
  ),
  defaults: told("Options of mold(…) where a design says nothing.", z.optional(defaults)),
});

export type SettingsFile = z.infer<typeof settingsSchema>;

/** The schema as JSON Schema, for the editor. */
export function settingsJsonSchema(): object {
  return {
    $comment: "Generated by scripts/build.ts from shared/settings.ts. Do not edit.",
    title: "Slabwright: printers, clays, hand and defaults of a workshop",
    ...z.toJSONSchema(settingsSchema, { target: "draft-7" }),
  };
}
