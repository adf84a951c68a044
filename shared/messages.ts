import type { MessageArgs } from "./finding.ts";

/**
 * English sentences by code. `{name}` is replaced by the argument of that name. The command line
 * and the manifest print these; the editor renders the same templates in the maker's language.
 * Clay first, number second, next step last.
 */
export const messages = {
  // Misuse of the kit. Every one opens with {call}, the call as the maker wrote it.
  "kit-unknown-key": "{call}: there is no option “{key}”. {allowed}",
  "kit-not-a-number": "{call}: {key} must be a finite number, got {value}.",
  "kit-out-of-range": "{call}: {key} is {value}; allowed is {allowed}.",
  "kit-missing": "{call}: {key} is missing. {allowed}",
  "kit-wrong-type": "{call}: {key} must be {allowed}, got {value}.",
  "kit-conflict": "{call}: {reason}",
  "kit-not-yet": "{call}: {key} is not in this version of Slabwright yet. {allowed}",
  "kit-looks-like-percent":
    "{call}: {key} is {value}, which looks like per cent. Write it as a fraction: {fraction}.",

  // Findings: clay first, number second, next step last.
  "shrink-missing":
    "The pot would fire too small: the mold is made at fired size, {height} mm high, and clay that shrinks {percent} % would leave {fired} mm. Wrap the body in shrink(body, clay).",
  "shrink-twice":
    "The pot would fire too large: its body is shrunk {count} times, {scale} times its fired size in all. Keep one shrink.",
  undercut:
    "{part} would tear the clay: {area} mm² are undercut, {depth} mm deep near z {z} and {angle}°; leather-hard clay gives {limit} mm. Turn the seams or split into more parts.",
  "undercut-shallow":
    "{part} leaves only while the clay is soft: {area} mm² are undercut, {depth} mm deep near z {z} and {angle}°. Open it early, or turn the seams.",
  "undercut-whole":
    "The mold would not come off the clay in one piece: {area} mm² are undercut, {depth} mm deep near z {z} and {angle}°; leather-hard clay gives {limit} mm. Let the form widen towards its mouth, or cut the mold with split(…).",
  "undercut-whole-shallow":
    "The mold comes off only while the clay is soft: {area} mm² are undercut, {depth} mm deep near z {z} and {angle}°. Lift it off early, or let the form widen towards its mouth.",
  "undercut-hump":
    "{part} would tear the clay: {area} mm² are undercut, {depth} mm deep near z {z} and {angle}°; leather-hard clay gives {limit} mm. Widen the mouth, or make the mold around the outside.",
  "draft-low":
    "{part} will drag on the clay: its draft is {draft}° over a strip {length} mm long near z {z} and {angle}°; wanted is {limit}°. Turn the seams, split into more parts, or flare the form.",
  "draft-low-whole":
    "The mold will drag on the clay as it is lifted off: its draft is {draft}° over a strip {length} mm long near z {z} and {angle}°; wanted is {limit}°. Flare the form towards its mouth, or cut the mold with split(…).",
  "draft-low-hump":
    "The clay will tighten on {part} and drag as it is lifted: its draft is {draft}° over a strip {length} mm long near z {z} and {angle}°; wanted is {limit}°. Flare the form towards its mouth.",
  "part-locked":
    "{part} never comes off: drawn out, it runs into {others} ({area} mm² across its way, first near z {z} and {angle}°). Let the seams stand upright (follow: “flat”), split into more parts, or twist the form less.",
  "part-locked-ring":
    "{part} never comes off: drawn out, it runs into {others} ({area} mm² across its way, first near z {z} and {angle}°), and each part of the ring {ring} holds the one before it, so none can go first. Let the seams stand upright (follow: “flat”), split into more parts, or twist the form less.",
  "part-locked-waits":
    "{part} never comes off: drawn out, it runs into {others} ({area} mm² across its way, first near z {z} and {angle}°), and that cannot leave either, being held by the ring {ring}. Free that first.",
  "part-locked-floor":
    "{part} never comes off: its foot reaches around the floor, and drawn out it runs into it ({area} mm² across its way, first near z {z} and {angle}°). Split into more parts, turn the seams, or leave the base open.",
  "part-locked-behind": "{part} never comes off: it waits for {others}, which cannot leave either.",
  "wall-thin":
    "The shell is too thin to print tight: {wall} mm is less than two lines of the nozzle, {limit} mm. Make it {limit} mm or more.",
  "wall-thin-bends":
    "The flats will give under the hand: pressed with 100 N, the widest one, {span} mm, bends {bend} mm. Make the wall {needed} mm.",
  "key-no-room":
    "{seam} gets no key, so its parts can shift: beyond the knife's land the face is {length} mm long, and a key of {size} mm needs {needed} mm there. Widen the flange or make the keys smaller.",
  "key-no-room-one":
    "{seam} gets one key only, so its parts can turn about it: the keys of {size} mm find room for one in {height} mm of height. Make the keys smaller.",
  "key-no-room-hump":
    "{seam} gets no ridge, so its halves can shift: below the knife's land the hump is {length} mm deep, too little or too narrow for ridges of {size} mm. Make the keys smaller, or the hump of one piece.",
  "key-no-room-low":
    "{seam} gets no key that registers: leaving {theta}° from the key's axis it may stand {tallest} mm high, and needs {least} mm. Use fewer or more even parts, or larger keys.",
  "key-no-room-joint":
    "{seam} gets no tongue, so one ring can shift on the other: between the knife's land and the edge the level face is {length} mm deep where a tongue of {size} mm is wide, and {needed} mm are needed. Widen the flange or make the keys smaller.",
  "key-no-room-joint-one":
    "{seam} gets one tongue only, so the part can turn about it: beside it there is no room for another of {size} mm. Make the keys smaller.",
  "key-no-room-joint-low":
    "{seam} gets no tongue that registers: in a flange of {thickness} mm it may stand {tallest} mm high, and needs {least} mm. Make the flange {needed} mm thick.",
  "key-locked":
    "{seam}: {key} would hold {part} back, its flank has {draft}° where {limit}° are needed. Turn the seam towards the pull.",
  "body-open":
    "{from} is not closed, so it holds no clay: {open} edges have no neighbour, one near x {x}, y {y}, z {z}. Close the mesh where it was made.",
  "body-open-empty":
    "{from} encloses no volume, so it holds no clay. Check its unit: it is read as millimetres.",
  "body-crossing":
    "The clay would run through itself near z {z}: the path bends more tightly than the outline is wide. Ease the bend or make the outline smaller.",
  "body-crossing-mesh":
    "The clay would run through itself: {from} goes through its own surface near x {x}, y {y}, z {z}. Make it one solid where it was made.",
  "rim-uneven":
    "The knife has no flat to run on: at its {where} the solid has {flat} mm² of level face over a section of {section} mm². Cut the solid level there, where it was made or by trim(…) with what holds the end that is to go, or open it elsewhere.",
  "bed-overflow":
    "{part} does not fit the bed: {x} × {y} × {z} mm on {bedX} × {bedY} × {bedZ} mm, with 5 mm free at the edge. Split into more parts or name a larger printer.",
  "shrink-later":
    "Nothing is grown for the clay here: sizes, paper and weights are NOT SCALED, and the printer must scale every file. To scale them here, give the shrinkage to shrink(body, …).",
  "clay-grips":
    "The drying clay tightens on {part}: when {percent} % of shrinkage are over, it presses {grip} mm into the mold near z {z} and {angle}°; {limit} mm lets go. Open earlier, make the flare gentler, or give the top a ring of its own.",
  "slab-crowded":
    "No room is left inside: walls that face each other are {distance} mm apart near z {z} and {angle}°, and two slabs of {slab} mm need {limit} mm. Use a thinner slab, a wider form, or slab: “solid”.",
  "slab-crowded-tight":
    "Fingers hardly get between the slabs: walls that face each other are {distance} mm apart near z {z} and {angle}°; with slabs of {slab} mm, {limit} mm are wanted. Use a thinner slab or a wider form.",
  "slab-crowded-hump":
    "The slab leaves no room for a hump: at {slab} mm it fills the pot, which is {narrowest} mm wide at its narrowest and {height} mm high. Use a thinner slab, a wider or a higher form.",
  "corner-sharp":
    "The clay will crack or stay hollow in a corner: its radius is {radius} mm near z {z} and {angle}°, and a slab of {slab} mm that bends by {turn}° wants {limit} mm. Round the corner, or put a seam on it.",
  "corner-sharp-level":
    "The clay will crack or stay hollow along a level edge: its radius is {radius} mm near z {z} and {angle}°, and a slab of {slab} mm that bends by {turn}° wants {limit} mm. Write side: “smooth”, or more sections there.",
  "corner-sharp-solid":
    "The clay will crack or stay hollow along an edge: its radius is {radius} mm near z {z} and {angle}°, and a slab of {slab} mm that bends by {turn}° wants {limit} mm. Round the body there, or put a seam on that edge.",
  "corner-sharp-hump":
    "The clay will tear over a corner of the hump: its radius is {radius} mm near z {z} and {angle}°, and a slab of {slab} mm that bends by {turn}° wants {limit} mm. Make the corner of the pot rounder.",
  "corner-sharp-hump-level":
    "The clay will tear over an edge of the hump: its radius is {radius} mm near z {z} and {angle}°, and a slab of {slab} mm that bends by {turn}° wants {limit} mm. Round the pot there, with side: “smooth” or more sections.",
  "reach-narrow":
    "No hand presses the seams near z {z}: they lie {depth} mm deep behind an opening of {opening} mm inside the clay, and what fits through it reaches {reach} mm. Press part by part, or widen the neck.",
  "reach-narrow-base":
    "No hand presses the joint of the base: it lies {depth} mm deep behind an opening of {opening} mm inside the clay, and what fits through it reaches {reach} mm. Leave the base open and put it in last, or widen the neck.",
  "seam-unreachable":
    "The hand is too short for the seams near z {z}: they lie {depth} mm deep, and through an opening of {opening} mm inside the clay it reaches {reach} mm. Press part by part, or open the base.",
  "seam-unreachable-base":
    "The hand is too short for the joint of the base: it lies {depth} mm deep, and through an opening of {opening} mm inside the clay it reaches {reach} mm. Leave the base open and put it in last.",
  overhang:
    "The face that shapes the clay will print rough: {area} mm² of {part} hang over by more than {limit}° near z {z}. Split into more parts, make the form gentler there, or print with support.",
  "overhang-elsewhere":
    "{part} will print rough outside: {area} mm² hang over by more than {limit}° near z {z}. Print it with support, or leave it as it is: the clay does not touch it.",

  "seams-flat":
    "The clay parts at upright planes here: seams that follow the form are not to be had on this body, since its sections are not seen whole from their middle. Nothing is wrong; write follow: “flat” in split(…) to say so.",

  // What else in the design has to do with a finding.
  "note-undercut":
    "shapes the clay that holds {part}: {area} mm² undercut, {depth} mm deep near z {z} and {angle}°",

  // Titles of fixes.
  "fix-shrink": "Allow for {percent} % shrinkage with shrink(…)",
  "fix-unshrink": "Take this shrink away",
  "fix-wall": "Make the wall {wall} mm",
  "fix-seams-at": "Turn the seams to {value}°: undercut {before} → {after} mm²",
  "fix-seams-at-draft": "Turn the seams to {value}°: least draft {before} → {after}°",
  "fix-seams-corners": "Put the seams on the corners: undercut {before} → {after} mm²",
  "fix-seams-corners-draft": "Put the seams on the corners: least draft {before} → {after}°",
  "fix-seams-flat": "Let the seams stand upright: undercut {before} → {after} mm²",
  "fix-seams-flat-draft": "Let the seams stand upright: least draft {before} → {after}°",
  "fix-seams-parts": "Split into {value} parts: undercut {before} → {after} mm²",
  "fix-seams-parts-draft": "Split into {value} parts: least draft {before} → {after}°",
  "fix-seams-levels": "Cut across at z {value}: undercut {before} → {after} mm²",
  "fix-cross-seam": "Cut across at z {value}, a ring of its own: grip {before} → {after} mm",
  "fix-seams-upright": "Say that the seams stand upright",
  "fix-flange": "Widen the flange to {width} mm",
  "fix-flange-thickness": "Make the flange {thickness} mm thick",
  "fix-corner": "Round the corners by {corner} mm",
  "fix-slab": "Make the slab {slab} mm",
  "fix-press-parts": "Press part by part",
  "fix-base-last": "Leave the base open and put it in last",
  "fix-open-end": "Open it at its {where} instead",
  "fix-printer": "Print it on “{printer}”",
  "fix-glue": "Print it in {value} pieces, glued together for good",
  "fix-parts": "Split into {value} parts",
  "fix-key-size": "Make the keys {size} mm",
} as const satisfies Record<string, string>;

export type MessageCode = keyof typeof messages;

/** Fills a template. A placeholder without an argument is our own fault and throws. */
export function renderTemplate(template: string, args: MessageArgs): string {
  return template.replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = args[name];
    if (value === undefined) throw new Error(`message argument missing: ${name} in “${template}”`);
    return String(value);
  });
}

export function renderMessage(code: MessageCode, args: MessageArgs): string {
  return renderTemplate(messages[code], args);
}
