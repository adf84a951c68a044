import type { CallId } from "../../../shared/place.ts";
import { boundsOf } from "../solid/measure.ts";
import { Body } from "./body.ts";
import { Cutter } from "./cutter.ts";
import { KitError } from "./error.ts";
import { key, Key } from "./key.ts";
import type { Hand } from "./hand.ts";
import {
  checkBase,
  checkPart,
  checkSlab,
  checkVents,
  checkWall,
  isMoldName,
  MOLD_DEFAULTS,
  wrongOption,
  type BaseKind,
} from "./mold-options.ts";
import { checkChoice, checkFlag, checkKeys, show, type Site } from "./options.ts";
import {
  checkPrinter,
  DEFAULT_PRINTER,
  printerOf,
  type PrinterOptions,
  type PrinterSpec,
} from "./printer.ts";
import { keptWorkshop, recordCall, recordMade, unrecorded } from "./record.ts";
import { LEAST_RING, split, Split } from "./split.ts";

export { MOLD_DEFAULTS, type BaseKind } from "./mold-options.ts";

export interface MoldOptions {
  /** Wet clay, mm; "solid" for handles and knobs. Default 6. */
  slab?: number | "solid";
  /** Printed shell, mm, rounded up to whole lines of the nozzle. Default 3. */
  wall?: number;
  /** How the mold is cut; default `split()`. */
  seams?: Split;
  /** How the parts register; default `key()`. */
  keys?: Key;
  /** Printed cutters for the slabs. Default none. */
  cutters?: readonly Cutter[];
  /**
   * "open": no plastic under the pot; "floor": a plate that the walls clasp; "closed": plastic under
   * the pot, of one piece with the mold; "none": there is no base. Or an object with `kind`, how base
   * and walls `join` ("inside": the base is a plug between the walls; "under": the walls stand on it)
   * and its own `slab`, mm. Default "open", of a whole mold and a hump "closed", of halves "none"; a
   * floor joins "under", else "inside".
   */
  base?: BaseKind | { kind: BaseKind; join?: "inside" | "under"; slab?: number };
  /** Pressed in the closed mold, or part by part. Default "closed" where a hand can reach every joint. */
  press?: "closed" | "parts";
  /**
   * "outside": the clay is pressed into the mold. "inside": a hump mold that the clay is laid over,
   * one slab inside the body, with a shelf at the mouth that the edge of the clay stands on and is
   * trimmed along. A hump is of one piece (`split.whole()`), hollowed from below as far as it prints
   * without support, its shell nowhere thinner than `wall`, or of two (`split()`), solid and parted at an upright plane. Default "outside".
   */
  side?: "outside" | "inside";
  /**
   * How the pot stands while the mold is opened. Default "foot"; off a whole mold it is always turned
   * onto its rim. Clay stands on a hump by its rim.
   */
  stand?: "foot" | "rim";
  /** Seam flanges: `width` beyond the shell and `thickness` of each side, mm. Default 14 and 4. */
  flange?: { width?: number; thickness?: number };
  /** Seats for rubber bands or straps in the flange edges, mm. Default 2 seats, 10 wide, 2 deep. */
  bands?: { count?: number; width?: number; depth?: number };
  /** Flat rim that the trimming knife runs on, `width` beyond the shell, or beyond the clay on a hump, mm. Default 8. */
  rim?: { width?: number };
  /**
   * Holes that let air out and in, `size` mm wide and about `spacing` mm apart, or false for none.
   * Default 1.5 and 40 in a floor, a closed base, a hump and a mold for solid clay; elsewhere there are none.
   */
  vents?: { size?: number; spacing?: number } | false;
  /** Engraved name, part, seam numbers and shrinkage, so that nothing is mixed up. Default true. */
  marks?: boolean;
  /** Slots in the seams to lever at. Default true; a whole mold has no seams. */
  pry?: boolean;
  /**
   * Where it is printed: a name from `slabwright.json`, or `{ bed, nozzle, layer, … }`, with `spread`
   * where its holes come out small. Default a bed of 220 × 220 × 250 mm, nozzle 0.6, layer 0.3, PLA.
   */
  printer?: string | PrinterOptions;
  /** Names files and marks. Default the design's name. */
  name?: string;
  /**
   * When findings speak up: `draft` ° (default 2, of a whole mold 4, of a hump 7), `undercut` and
   * `grip` mm, `stretch` and `thinning` fractions.
   */
  limits?: { draft?: number; undercut?: number; stretch?: number; thinning?: number; grip?: number };
}

export interface MoldSpec {
  call: CallId;
  body: Body;
  slab: number | "solid";
  wall: number;
  seams: Split;
  keys: Key;
  cutters: readonly Cutter[];
  base: { kind: BaseKind; join: "inside" | "under"; slab: number };
  /** Null: no plastic of this mold has air to let out, or the maker wants none. */
  vents: { size: number; spacing: number } | null;
  /** Engraved name, part, seams and shrinkage. */
  marks: boolean;
  /** Slots to lever at in the seams. */
  pry: boolean;
  press: "closed" | "parts" | null;
  side: "outside" | "inside";
  stand: "foot" | "rim";
  flange: { width: number; thickness: number };
  bands: { count: number; width: number; depth: number };
  rim: { width: number };
  printer: PrinterSpec;
  name: string | null;
  limits: { draft: number; undercut: number; stretch: number; thinning: number; grip: number };
  /** The hand that presses. */
  hand: Hand;
  /** Printers that the workshop keeps. */
  printers: readonly PrinterSpec[];
}

/** A mold to be computed; made by `mold`. */
export class Mold {
  /** @internal */ readonly [Symbol.toStringTag] = "Mold";
  /** @internal */ readonly spec: MoldSpec;

  /** @internal */
  constructor(spec: MoldSpec) {
    this.spec = Object.freeze(spec);
    Object.freeze(this);
  }
}

/** A rim stays this much inside the flanges, mm. */
const RIM_INSIDE = 2;

const KEYS = [
  "slab",
  "wall",
  "seams",
  "keys",
  "cutters",
  "base",
  "press",
  "side",
  "stand",
  "flange",
  "bands",
  "rim",
  "vents",
  "marks",
  "pry",
  "printer",
  "name",
  "limits",
] as const;

/** Height at which a body begins, fired mm; what is set down begins at 0. */
function footOf({ sections, solid }: Body): number {
  if (solid?.kind === "mesh" && solid.stays) return boundsOf(solid.mesh).min[2];
  return sections.at(0)?.z ?? 0;
}

/**
 * The mold of a body: export it as default. The body is the outside of the pot, grown by `shrink`.
 *
 * @param body wet size, from `shrink(body, clay)`
 * @param options see each; widths are beyond the shell
 */
export function mold(body: Body, options?: MoldOptions): Mold {
  const call = recordCall("mold");
  if (!(body instanceof Body)) {
    throw wrong(call, { argument: 0 }, "the first argument", "a body, such as shrink(loft(…), 0.125)", body);
  }
  const foot = footOf(body);
  if (foot !== 0) {
    const reason = `this body begins at z ${Math.round(foot * 100) / 100}, as the inside of a pot does; a vessel stands on z = 0.`;
    throw new KitError("kit-conflict", { call: "mold", reason }, { call, argument: 0 });
  }
  const site: Site = { name: "mold", call, argument: 1 };
  const given = checkKeys(site, options, KEYS);
  const { defaults, printers, hand } = keptWorkshop();
  const slab = checkSlab(site, given.slab ?? defaults.slab ?? MOLD_DEFAULTS.slab);
  const seams = made(site, "seams", given.seams, Split, "split(…)") ?? unrecorded(() => split());
  const side = checkChoice(site, "side", given.side ?? MOLD_DEFAULTS.side, ["outside", "inside"]);
  const hump = side === "inside";
  const cutters = checkCutters(site, given.cutters);
  if (hump) refuseOnHump(site, body, seams, slab, given, cutters);
  refuseContradictions(site, body, seams, given);
  // A workshop's own base and stand are meant for molds with seams around the outside.
  const usual = seams.kind === "seams" && !hump ? defaults : {};
  const base = checkBase(
    site,
    given.base ?? usual.base ?? (hump ? "closed" : BASE[seams.kind]),
    slab === "solid" ? MOLD_DEFAULTS.slab : slab,
  );
  refuseLevels(body, seams, hump);
  if (!hump) refuseUnfit(site, body, seams, base.kind, slab);
  const flange = checkPart(site, "flange", given.flange, defaults.flange);
  // A rim that nobody asked for makes way for a narrow flange.
  const rimWidth = Math.min(defaults.rim?.width ?? MOLD_DEFAULTS.rim.width, flange.width - RIM_INSIDE);
  const rim = checkPart(site, "rim", given.rim, { width: rimWidth });
  if (rim.width > flange.width - RIM_INSIDE) {
    const reason = `a rim ${rim.width} mm wide does not fit inside a flange ${flange.width} mm wide; keep it ${RIM_INSIDE} mm narrower.`;
    throw new KitError(
      "kit-conflict",
      { call: "mold", reason },
      { call, argument: 1, path: ["rim", "width"] },
    );
  }
  const printer =
    given.printer === undefined
      ? (defaults.printer ?? DEFAULT_PRINTER)
      : typeof given.printer === "string"
        ? printerOf(site, "printer", given.printer, printers)
        : checkPrinter({ ...site, path: ["printer"] }, given.printer, null);
  const spec: MoldSpec = {
    call,
    body,
    slab,
    wall: checkWall(site, given.wall ?? defaults.wall ?? MOLD_DEFAULTS.wall),
    seams,
    keys: (made(site, "keys", given.keys, Key, "key(…)") ?? usualKeys(seams, hump)).drawnFor(printer),
    cutters,
    base,
    vents: ventsOf(
      site,
      given.vents,
      defaults.vents,
      base.kind === "floor" || base.kind === "closed" || slab === "solid",
    ),
    marks: given.marks === undefined ? true : checkFlag(site, "marks", given.marks),
    pry: given.pry === undefined ? true : checkFlag(site, "pry", given.pry),
    press:
      given.press === undefined
        ? (defaults.press ?? null)
        : checkChoice(site, "press", given.press, ["closed", "parts"]),
    side,
    stand: checkChoice(
      site,
      "stand",
      given.stand ?? (hump || seams.kind === "whole" ? "rim" : (usual.stand ?? MOLD_DEFAULTS.stand)),
      ["foot", "rim"],
    ),
    flange,
    bands: checkPart(site, "bands", given.bands, defaults.bands),
    rim,
    printer,
    name: given.name === undefined ? null : checkName(site, given.name),
    limits: checkPart(site, "limits", given.limits, { ...draftLimit(seams, hump), ...defaults.limits }),
    hand,
    printers: [...printers.values()],
  };
  const parts = [body, spec.seams, spec.keys, ...spec.cutters];
  recordMade(
    call,
    parts.map((one) => one.call),
  );
  return new Mold(spec);
}

function wrong(
  call: CallId,
  at: { argument: number; path?: string[] },
  key: string,
  allowed: string,
  value: unknown,
) {
  return new KitError("kit-wrong-type", { call: "mold", key, allowed, value: show(value) }, { call, ...at });
}

/** What a mold has under the pot where nobody says. */
const BASE = { seams: "open", halves: "none", whole: "closed" } as const satisfies Record<
  Split["kind"],
  BaseKind
>;

/**
 * Clay shrinks onto nothing in a mold that opens, but holds on to one of a single piece, and tightens
 * on a hump as it dries (practice).
 */
const WHOLE_DRAFT = 4;
const HUMP_DRAFT = 7;

function draftLimit(seams: Split, hump: boolean): { draft?: number } {
  if (hump) return { draft: HUMP_DRAFT };
  return seams.kind === "whole" ? { draft: WHOLE_DRAFT } : {};
}

/** Parts that leave nearly along their seams need keys that run that way. */
function usualKeys(seams: Split, hump: boolean): Key {
  return unrecorded(() => {
    if (hump) return key({ shape: "ridge" });
    return seams.parts >= 5 ? key({ shape: "ridge", size: 4 }) : key();
  });
}

/** Options that make no sense on a hump. */
function refuseOnHump(
  site: Site,
  body: Body,
  seams: Split,
  slab: number | "solid",
  given: Partial<Record<(typeof KEYS)[number], unknown>>,
  cutters: readonly Cutter[],
): void {
  const refuse = (path: string, reason: string) => {
    throw new KitError(
      "kit-conflict",
      { call: "mold", reason },
      { call: site.call, argument: 1, path: [path] },
    );
  };
  if (slab === "solid") refuse("slab", "a slab is laid over a hump; solid clay needs a mold around it.");
  if (seams.kind === "halves")
    refuse("seams", "split.halves is for solid clay; a hump is split.whole(), or split() in two.");
  if (body.solid)
    refuse(
      "side",
      "a hump is made from a loft or a turned body, whose inside is known; this body is neither.",
    );
  if (body.open !== "top")
    refuse("side", `a hump is drawn out through the pot's top, but this body is open at ${body.open}.`);
  if (seams.kind === "seams" && seams.parts !== 2)
    refuse(
      "seams",
      `a hump is of one piece or of two, not of ${seams.parts}; write split() or split.whole().`,
    );
  if (seams.kind === "seams" && Array.isArray(seams.at) && seams.at.length === 2) {
    const [a, b] = seams.at as readonly number[];
    if (Math.abs(b - a - 180) > 0.01)
      refuse("seams", "the two halves of a hump part at one plane: give at one angle, or two 180° apart.");
  }
  if (seams.pull === "level")
    refuse("seams", "a hump leaves upwards through the mouth of the pot; leave pull out.");
  for (const key of ["flange", "bands"] as const)
    if (given[key] !== undefined)
      refuse(key, `a hump stands on its shelf and has no ${key}; leave ${key} out.`);
  if (given.pry !== undefined) refuse("pry", "a hump has no seam to lever at; leave pry out.");
  if (given.press !== undefined)
    refuse("press", "clay is laid over a hump, never pressed between parts; leave press out.");
  if (given.base !== undefined && given.base !== "closed")
    refuse("base", "the slab over a hump is the pot's base too, as thick as its sides; leave base out.");
  const { keys } = given;
  if (keys instanceof Key && (keys.shape !== "ridge" || keys.loose))
    refuse(
      "keys",
      "the halves of a hump slide along one another, so that only fixed ridges register them; write key({ shape: “ridge” }).",
    );
  if (cutters.some((one) => one.kind === "base"))
    refuse("cutters", "the slab over a hump is the pot's base too; leave cutter.base out.");
}

/** Cross seams that the body has no room for, or that this kind of mold has no use for. */
function refuseLevels({ sections }: Body, { call, levels }: Split, hump: boolean): void {
  if (levels.length === 0) return;
  const refuse = (reason: string) => {
    throw new KitError("kit-conflict", { call: "split", reason }, { call, argument: 0, path: ["levels"] });
  };
  if (hump) refuse("a hump is of one height and leaves as a whole; leave levels out.");
  if (sections.length === 0)
    refuse("cross seams lie between the level sections of a loft, and this body has none; leave levels out.");
  const height = sections[sections.length - 1].z;
  const last = levels[levels.length - 1];
  if (last > height - LEAST_RING)
    refuse(
      `the body is ${tidy(height)} mm high, and a cross seam at ${tidy(last)} leaves the last ring ${tidy(height - last)} mm; keep ${LEAST_RING} mm below the rim.`,
    );
}

const tidy = (value: number) => Math.round(value * 100) / 100;

/** Molds that cannot be had of a body, or that come apart where they should hold. */
function refuseUnfit(site: Site, body: Body, seams: Split, base: BaseKind, slab: number | "solid"): void {
  const refuse = (path: string, reason: string) => {
    throw new KitError(
      "kit-conflict",
      { call: "mold", reason },
      { call: site.call, argument: 1, path: [path] },
    );
  };
  if (seams.kind === "halves") {
    if (slab !== "solid")
      refuse("slab", "halves are pressed full of clay; write slab: “solid”, or split(…) for slabs.");
    return;
  }
  if (seams.kind === "whole") {
    if (body.solid?.kind === "sweep")
      refuse(
        "seams",
        "what is swept does not leave a mold of one piece; cut it with split({ parts: 2 }), or with split.halves.",
      );
    return;
  }
  if (base === "closed")
    refuse(
      "base",
      "a closed base is of one piece with its mold, and this one comes apart; write base: “floor”, or split.whole().",
    );
}

/** Options that make no sense together. */
function refuseContradictions(
  site: Site,
  body: Body,
  seams: Split,
  given: Partial<Record<(typeof KEYS)[number], unknown>>,
): void {
  const refuse = (path: string[], reason: string) => {
    throw new KitError("kit-conflict", { call: "mold", reason }, { call: site.call, argument: 1, path });
  };
  const kindOfBase =
    typeof given.base === "object" && given.base !== null
      ? (given.base as { kind?: unknown }).kind
      : given.base;
  if (seams.kind === "whole") {
    for (const key of ["flange", "bands", "keys"] as const)
      if (given[key] !== undefined)
        refuse([key], `a whole mold has no seams, so no ${key}; leave ${key} out.`);
    if (given.stand === "foot")
      refuse(["stand"], "a whole mold is lifted off a pot that stands on its rim; leave stand out.");
    if (body.open !== "top")
      refuse(
        ["seams"],
        `the pot leaves a whole mold through its top, but this body is open at ${body.open}.`,
      );
    if (kindOfBase === "floor" || kindOfBase === "none")
      refuse(["base"], "the base of a whole mold is “closed” or “open”.");
    if (given.slab === "solid")
      refuse(["slab"], "solid clay needs split.halves or upright seams to come out of its mold.");
  }
  if (given.slab === "solid" && Array.isArray(given.cutters) && given.cutters.length > 0)
    refuse(["cutters"], "solid clay has no slabs to cut; leave cutters out.");
  if (seams.kind === "halves" && kindOfBase !== undefined && kindOfBase !== "none")
    refuse(["base"], "halves have no base; leave base out.");
  if (seams.kind === "seams" && kindOfBase === "none" && given.slab !== "solid")
    refuse(["base"], "base “none” is for halves and solid clay; use “open”.");
}

function ventsOf(
  site: Site,
  value: unknown,
  usual: { size?: number; spacing?: number } | false | undefined,
  has: boolean,
): MoldSpec["vents"] {
  if (value === undefined) return has ? checkVents(site, usual) : null;
  if (value === false || has)
    return checkVents(site, typeof value === "object" && usual ? { ...usual, ...value } : value);
  const reason =
    "vents are holes in a floor, a closed base or a mold for solid clay; this mold has none of them.";
  throw new KitError(
    "kit-conflict",
    { call: "mold", reason },
    { call: site.call, argument: 1, path: ["vents"] },
  );
}

function made<T>(
  site: Site,
  key: string,
  value: unknown,
  type: new (...args: never[]) => T,
  allowed: string,
): T | undefined {
  if (value === undefined || value instanceof type) return value;
  throw wrong(site.call, { argument: 1, path: [key] }, key, allowed, value);
}

function checkCutters(site: Site, value: unknown): readonly Cutter[] {
  if (value === undefined) return [];
  if (!Array.isArray(value) || value.some((one) => !(one instanceof Cutter))) {
    throw wrong(site.call, { argument: 1, path: ["cutters"] }, "cutters", "an array of cutter.…(…)", value);
  }
  return Object.freeze([...(value as Cutter[])]);
}

function checkName(site: Site, value: unknown): string {
  if (isMoldName(value)) return value;
  throw wrongOption(
    site,
    "name",
    "letters, digits, - and _, at most 60, since files are named by it",
    show(value),
  );
}
