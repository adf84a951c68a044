import type { MoldView, Quality } from "../../../shared/engine.ts";
import type { CallId } from "../../../shared/place.ts";
import type { Body } from "../kit/body.ts";
import { buildBody } from "../mold/body.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { MoldModel, MoldPart, Vec3 } from "../mold/model.ts";
import type { Tagged } from "../solid/tagged.ts";
import { dimensionsOf } from "./dimensions.ts";
import { moldNumbers } from "./numbers.ts";
import { potOf } from "./pot.ts";
import { surfaceView } from "./surface.ts";

/** What the preview shows of a mold. */
export function moldView(built: BuiltMold, quality: Quality, have: ReadonlySet<string>): MoldView {
  const { model, spec } = built;
  const shrunk = 1 / model.clay.scale;
  const fired = model.fired?.size ?? (model.wet.size.map((length) => length * shrunk) as Vec3);
  return {
    name: model.name,
    summary: summarize(
      model.name,
      countParts(model.parts, built.rings?.length ?? 1),
      fired,
      model.wet.size,
      model.fired?.capacityMl ?? null,
    ),
    fired,
    wet: model.wet.size,
    surfaces: [
      ...model.parts.map((part) =>
        surfaceView(part.name, part.role, ownedPart(model, part), wayApart(part, built.rings), have),
      ),
      surfaceView("vessel", "vessel", potOf(built, quality), null, have),
    ],
    moves: model.moves.map(({ part, direction, mm }) => ({ part, direction, mm })),
    dimensions: dimensionsOf(model.vessel.mesh, model.clay.scale),
    calls: [model.call, ...bodyCalls(spec.body)],
    numbers: moldNumbers(model),
  };
}

/** Rings rise by this much of a part's way for each one under them, so that the joints between them are seen. */
const LIFT = 0.6;

/** Where the parts-apart slider takes a part: along its pull, and up from the ring under it. */
function wayApart({ name, pull }: MoldPart, rings: BuiltMold["rings"]): Vec3 | null {
  const under = rings?.findIndex((walls) => walls.includes(name)) ?? -1;
  if (!pull || under < 1) return pull;
  const [x, y, z] = [pull[0], pull[1], pull[2] + LIFT * under];
  const length = Math.hypot(x, y, z);
  return [x / length, y / length, z / length];
}

/** The calls that made faces of a mold. */
export function faceCalls({ model }: BuiltMold): CallId[] {
  // The inside of the clay is the mold's own.
  return [...model.parts, model.vessel].flatMap((part) => ownedPart(model, part).runs.map((run) => run.call));
}

/** Seams and keys that the maker did not ask for are the mold's own. */
function ownedPart({ call }: MoldModel, { mesh, runs }: MoldPart): Tagged {
  return { mesh, runs: runs.map((run) => (run.call < 0 ? { ...run, call } : run)) };
}

const bodyCalls = (body: Body): CallId[] => [body.call, ...body.shrinkings.map(({ call }) => call)];

function countParts(parts: readonly { role: string }[], rings: number): string {
  const count = (role: string) => parts.filter((part) => part.role === role).length;
  const words = [
    [count("wall"), "wall part", rings > 1 ? `wall parts in ${rings} rings` : "wall parts"],
    [count("floor"), "floor", "floors"],
    [count("cutter"), "cutter", "cutters"],
  ] as const;
  return words
    .filter(([n]) => n > 0)
    .map(([n, one, more]) => `${n} ${n === 1 ? one : more}`)
    .join(", ");
}

function summarize(name: string, parts: string, fired: Vec3, wet: Vec3, capacityMl: number | null): string {
  const size = (lengths: Vec3) => lengths.map((length) => Math.round(length * 2) / 2).join(" × ");
  const holds = capacityMl === null ? "" : ` Fired it holds ${Math.round(capacityMl)} mL to the brim.`;
  return `${name}: ${parts}. Fired ${size(fired)} mm, wet ${size(wet)} mm.${holds}`;
}

/** A body without a mold, as it would come out of the kiln. */
export function bodyView(body: Body, name: string, quality: Quality, have: ReadonlySet<string>): MoldView {
  const { solid, fired, wet } = buildBody(body, quality);
  const size = (lengths: Vec3) => lengths.map((length) => Math.round(length * 2) / 2).join(" × ");
  return {
    name,
    summary: `${name}: a body without a mold. Fired ${size(fired)} mm, wet ${size(wet)} mm.`,
    fired,
    wet,
    surfaces: [surfaceView("vessel", "vessel", solid, null, have)],
    moves: [],
    dimensions: dimensionsOf(solid.mesh, wet[2] / fired[2]),
    calls: bodyCalls(body),
    numbers: null,
  };
}
