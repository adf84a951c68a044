import * as z from "zod/mini";
import { previewWords } from "./preview-words.ts";
import { unitChoices } from "./units.ts";

export type { PreviewWord } from "./preview-words.ts";

const vector = z.tuple([z.number(), z.number(), z.number()]);
const role = z.enum(["wall", "floor", "cutter", "rail", "peg", "vessel"]);

/** 16 bits where that many vertices fit. */
const indices = z.union([z.instanceof(Uint16Array), z.instanceof(Uint32Array)]);

const geometry = z.object({
  positions: z.instanceof(Uint16Array),
  min: vector,
  max: vector,
  triangles: indices,
  edges: indices,
  groups: z.array(z.object({ start: z.number(), count: z.number(), call: z.number(), label: z.string() })),
});

/**
 * Geometry whose arrays came before in `stock` messages, one after another in one run of bytes,
 * each at a multiple of four: positions, triangles, edges. Lengths count elements.
 */
const stocked = z.object({
  positions: z.number(),
  triangles: z.number(),
  edges: z.number(),
  /** Bytes of an index in triangles and edges: 2 or 4. */
  indexBytes: z.tuple([z.number(), z.number()]),
  min: vector,
  max: vector,
  groups: z.array(z.object({ start: z.number(), count: z.number(), call: z.number(), label: z.string() })),
});

/** Both kinds of geometry are left out when the page already holds it from the message before. */
const surface = z.object({
  name: z.string(),
  role,
  digest: z.string(),
  geometry: z.optional(geometry),
  stocked: z.optional(stocked),
  apart: z.nullable(vector),
});

/** A stretch of the bytes of one surface's arrays. */
const stretch = z.object({
  digest: z.string(),
  /** Where it begins, and how many bytes the surface has in all. */
  at: z.number(),
  of: z.number(),
  bytes: z.instanceof(Uint8Array),
});

const dimension = z.object({
  what: z.enum(["height", "foot", "rim", "widest", "narrowest"]),
  from: vector,
  to: vector,
  wet: z.number(),
  fired: z.number(),
});

const mold = z.object({
  name: z.string(),
  summary: z.string(),
  fired: vector,
  wet: vector,
  surfaces: z.array(surface),
  /** In opening order. */
  moves: z.array(z.object({ part: z.string(), direction: vector, mm: z.number() })),
  dimensions: z.array(dimension),
});

/** A place in the maker's files, with the short form to print. */
const spot = z.object({ file: z.string(), line: z.number(), column: z.number(), label: z.string() });

const findingLine = z.object({
  code: z.string(),
  severity: z.enum(["error", "warning", "info"]),
  message: z.string(),
  spot,
  mold: z.optional(z.string()),
  part: z.optional(z.string()),
  /** Where it is on the mold, the worst first; mold frame. */
  at: z.array(vector),
});

/** A call that made faces: a click on them goes to its spot. */
const callLine = z.object({ call: z.number(), name: z.string(), spot });

/** A `param` of the design. */
const paramLine = z.object({
  name: z.string(),
  value: z.number(),
  min: z.number(),
  max: z.number(),
  step: z.number(),
  /** A slider can write the number; otherwise it is computed at `spot`. */
  writable: z.boolean(),
  spot,
});

/** From the extension to the webview. */
export const toPreview = z.discriminatedUnion("type", [
  /** Sent first, and again with a new name of the design: what the page says and keeps over a restart. */
  z.object({
    type: z.literal("setup"),
    uri: z.string(),
    words: z.record(z.enum(previewWords), z.string()),
    /** How the heading gives sizes. */
    units: z.enum(unitChoices),
  }),
  z.object({
    type: z.literal("show"),
    build: z.number(),
    /** Absent: the picture stays as it is, because the design does not run. */
    molds: z.optional(z.array(mold)),
    findings: z.array(findingLine),
    params: z.array(paramLine),
    /** Why no slider can write just now. */
    paramsHeld: z.optional(z.string()),
    calls: z.array(callLine),
    /** The design does not run: the last good picture stays, dimmed, under this sentence. */
    problem: z.optional(z.object({ message: z.string(), spot: z.optional(spot) })),
  }),
  /** Geometry that a coming `show` needs, too much for one message. Answered with `stocked`. */
  z.object({ type: z.literal("stock"), number: z.number(), stretches: z.array(stretch) }),
  /** Something is being worked out, or no longer. */
  z.object({ type: z.literal("busy"), on: z.boolean() }),
  /** The cursor stands in the code that made the faces of these calls. */
  z.object({ type: z.literal("light"), calls: z.array(z.number()) }),
  /** There is nothing to draw: a sentence, and a button for what can be done about it. */
  z.object({
    type: z.literal("notice"),
    sentence: z.string(),
    button: z.optional(z.object({ label: z.string(), action: z.enum(["manageTrust", "close", "evaluate"]) })),
  }),
]);
export type ToPreview = z.infer<typeof toPreview>;
export type PreviewMold = z.infer<typeof mold>;
export type PreviewSurface = z.infer<typeof surface>;
export type PreviewGeometry = z.infer<typeof geometry>;
export type StockedGeometry = z.infer<typeof stocked>;
export type Stretch = z.infer<typeof stretch>;
export type FindingLine = z.infer<typeof findingLine>;
export type ParamLine = z.infer<typeof paramLine>;
export type CallLine = z.infer<typeof callLine>;
export type PreviewDimension = z.infer<typeof dimension>;
export type Spot = z.infer<typeof spot>;

/** From the webview to the extension. */
export const fromPreview = z.discriminatedUnion("type", [
  /** The page listens, or has lost what it held: send everything. */
  z.object({ type: z.literal("ready") }),
  /** What this build shows is on the screen. */
  z.object({
    type: z.literal("painted"),
    build: z.number(),
    triangles: z.number(),
    /** Digests of the surfaces of every mold, as they are on the screen or would be if it were chosen. */
    digests: z.array(z.string()),
    /** ms from the arrival of the message until the page had made it its own. */
    take: z.number(),
    /** ms from the arrival of the message to the frame. */
    milliseconds: z.number(),
  }),
  z.object({ type: z.literal("stocked"), number: z.number() }),
  z.object({ type: z.literal("openPlace"), file: z.string(), line: z.number(), column: z.number() }),
  /** A slider: `try` while it is dragged, `write` to put the number into the code, `drop` to go back. */
  z.object({
    type: z.literal("param"),
    name: z.string(),
    value: z.number(),
    phase: z.enum(["try", "write", "drop"]),
  }),
  /** What is to be known about a code of findings. */
  z.object({ type: z.literal("openHelp"), code: z.string() }),
  z.object({ type: z.literal("action"), action: z.enum(["manageTrust", "close", "evaluate"]) }),
  /** Something went wrong in the page; goes to the log. */
  z.object({ type: z.literal("fault"), message: z.string() }),
]);
export type FromPreview = z.infer<typeof fromPreview>;

/** What the page keeps over a restart: which design, how it was looked at, and its summary, but no geometry. */
export const previewState = z.object({
  uri: z.string(),
  summary: z.optional(z.string()),
  view: z.optional(
    z.object({
      /** Camera position relative to its target, and the target, mm. */
      offset: vector,
      target: vector,
      fitted: z.boolean(),
      apart: z.number(),
      hidden: z.array(z.string()),
      mold: z.string(),
      /** Absent in what earlier versions kept. */
      names: z.optional(z.boolean()),
      sizes: z.optional(z.enum(["off", "wet", "fired", "both"])),
      cut: z.optional(
        z.nullable(z.object({ axis: z.enum(["x", "y", "z"]), share: z.number(), flip: z.boolean() })),
      ),
      /** How far along the opening order, in moves; null where the parts stand apart by `apart`. */
      opening: z.optional(z.nullable(z.number())),
      /** The drawer that is open where there is room for one. */
      drawer: z.optional(z.string()),
    }),
  ),
});
export type PreviewState = z.infer<typeof previewState>;
export type PreviewView = NonNullable<PreviewState["view"]>;
