import { bestPull } from "../leaving/pull.ts";
import { planOpening, type ClosedPart } from "../leaving/plan.ts";
import type { Facets } from "../leaving/facets.ts";
import { withScope, type Scope } from "../solid/kernel.ts";
import { volumeOf } from "../solid/measure.ts";
import { tidy } from "../solid/tidy.ts";
import { snap } from "../solid/weld.ts";
import { degrees, leavingPart, seamName, ON_RIM } from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { withChange } from "./change.ts";
import { COARSE } from "./coarse.ts";
import { intoPlane, outOfPlane, pointOf, type FlatSeam } from "./flat-seam.ts";
import { HUMP_SHELF, OUT } from "./hump-body.ts";
import { humpModel, humpVents, shelfMarks, type HumpDraft } from "./hump-draft.ts";
import { humpTongues, tongueContacts, tongueDepth } from "./hump-tongues.ts";
import { inscription } from "./marks.ts";
import type { Vec3 } from "./model.ts";
import { openingOf, plannedOpening, tryOpening, type Opening } from "./opening.ts";
import { planSeams } from "./seam-plan.ts";
import { toolParts } from "./tools.ts";
import { withVerdicts } from "./undercut-verdict.ts";

const NAMES = ["wall-a", "wall-b"] as const;
const FAR = 4000;
/** Steps in which the plane is turned where it may stand anywhere, degrees. */
const TURN_STEP = 15;
/** From the tongues to what is written beside them, mm. */
const MARK_ROOM = 2;
const back = (v: Vec3): Vec3 => [0 - v[0], 0 - v[1], 0 - v[2]];

/**
 * A hump in two halves that part at an upright plane. The half that leaves first slides up along the
 * other, so it carries tongues that widen upwards, in grooves that end in the underside of the shelf:
 * such keys hold it sideways and let it go.
 */
export function halveHump(draft: HumpDraft, start: number): BuiltMold {
  return withScope((scope) => halveIn(scope, draft, start));
}

function halveIn(scope: Scope, draft: HumpDraft, start: number): BuiltMold {
  const { spec, name, quality, scale, surface, layout, core, drape, touched, plate } = draft;
  const { grid } = surface;
  const coarse = quality === "typing";
  const chord = coarse ? COARSE : 0;
  const shaped = performance.now();
  const { seam, opening } = planned(draft, touched);
  const [first, second] = [seam.proud, seam.hollow];

  const whole = scope.solid(core);
  const tag = { face: "seam", call: spec.seams.call >= 0 ? spec.seams.call : spec.call } as const;
  const local = intoPlane(scope, whole, seam);
  const sides = [
    scope.box([-FAR, -FAR, 0], [FAR, FAR, FAR], tag),
    scope.box([-FAR, -FAR, -FAR], [FAR, FAR, 0], tag),
  ];
  const halves = sides.map((side) => tidy(scope.mesh(outOfPlane(scope, scope.intersect(local, side), seam))));
  // The first to leave is the proud one; parts are listed by name.
  const bare = NAMES.map((part) => ({ name: part, ...halves[part === first ? 0 : 1] }));
  const opened = performance.now();

  const section = scope.loops(scope.section(local, 0));
  const keys = humpTongues(section, seam, surface, layout, spec.keys);
  const bed = snap(layout.height + HUMP_SHELF);
  const marks = (part: string): ReturnType<typeof shelfMarks> => {
    if (!spec.marks || coarse) return [];
    const region = scope.flat([plate]);
    const [x, y] = [seam.outwards, part === first ? back(seam.axis) : seam.axis];
    const corner = (a: number, b: number): [number, number] => [
      seam.at[0] + a * x[0] + b * y[0],
      seam.at[1] + a * x[1] + b * y[1],
    ];
    const beyond = [corner(-FAR, 0), corner(FAR, 0), corner(FAR, -FAR), corner(-FAR, -FAR)];
    const cut = scope.flat([part === first ? [...beyond].reverse() : beyond]);
    const own = scope.flatWithout(
      region,
      scope.grow(cut, tongueDepth(spec.keys, bed - surface.rings[0].z) + MARK_ROOM),
    );
    return shelfMarks(inscription(name, part, scale.total), scope.loops(own), bed, spec);
  };
  // The seam breathes by itself, and no vent may run into a tongue beside it.
  const clear = tongueDepth(spec.keys, bed - surface.rings[0].z) + (spec.vents?.size ?? 0);
  const vents = humpVents(
    draft,
    (x, y) => Math.abs((x - seam.at[0]) * seam.axis[0] + (y - seam.at[1]) * seam.axis[1]) > clear,
  );
  const changes = bare.map(({ name: part }): PartChange => ({
    part,
    adds: part === first ? keys.keys.flatMap((one) => one.peg ?? []) : [],
    cuts: [...(part === first ? [] : keys.keys.map((one) => one.socket)), ...vents, ...marks(part)],
  }));
  const changed = bare.map((half, i) => withChange(half, changes[i], chord));
  const keyed = performance.now();
  const open = (coarse ? plannedOpening : tryOpening)(
    opening,
    new Map(changed.map(({ mesh }, i) => [NAMES[i] as string, mesh] as const)),
    drape.mesh,
    () => true,
  );
  const done = performance.now();
  return {
    model: {
      ...humpModel(draft),
      parts: [
        ...changed.map((solid, i) =>
          leavingPart(NAMES[i], "wall", solid, opening.parts.get(NAMES[i])!, ON_RIM),
        ),
        ...toolParts(grid, spec, scale.used, 2 * chord),
      ],
      seams: [
        {
          name: seam.name,
          parts: [first, second],
          follow: "flat",
          atDeg: degrees(Math.atan2(seam.outwards[1], seam.outwards[0])),
          curve: curveOf(section, seam, layout.height),
        },
      ],
      keys: keys.keys.map((one) => one.model),
      moves: open.moves,
      undercuts: withVerdicts(opening.undercuts, spec.limits.undercut, null),
    },
    spec,
    scale,
    layout,
    grid,
    seams: [],
    faces: [],
    opening,
    opened: open,
    keys: [keys],
    bare,
    changes,
    meshed: false,
    whole: volumeOf(core.mesh) + volumeOf(drape.mesh),
    clay: drape,
    times: { shape: shaped - start, opening: opened - shaped + done - keyed, keys: keyed - opened },
  };
}

/** Where the plane stands and how the halves leave: the plane turned to what leaves best, where it may be. */
function planned(draft: HumpDraft, touched: Facets): { seam: FlatSeam; opening: Opening } {
  const { spec, surface, drape } = draft;
  const { form } = surface.grid;
  const { at } = spec.seams;
  const angle =
    at === "best" ? bestAngle(form.centre(form.height), touched) : planSeams(form, spec.seams, at)[0].angle;
  const tried = [seamAt(angle, form.centre(form.height), 0), seamAt(angle, form.centre(form.height), 1)].map(
    (seam) => {
      const parts = closedHalves(seam, touched);
      const plans = planOpening(parts, drape.mesh, {
        stand: OUT,
        level: false,
        // Tongues are made for any pull that slides along them.
        keyDraft: -90,
        wantedDraft: spec.limits.draft,
      });
      const area = plans.reduce((sum, plan) => sum + plan.undercut.complete().areaMm2, 0);
      const draftDeg = Math.min(...plans.map((plan) => plan.draftDeg));
      const inOrder = plans[0].part === seam.proud && plans.every(({ heldBy }) => heldBy.length === 0);
      return { seam, opening: openingOf(plans, parts), area, draftDeg, inOrder };
    },
  );
  const [one, other] = tried;
  const isBetter =
    other.inOrder !== one.inOrder
      ? other.inOrder
      : Math.abs(other.area - one.area) > 1
        ? other.area < one.area
        : other.draftDeg > one.draftDeg + 1e-3;
  return isBetter ? other : one;
}

/** The seam at an angle; `turned` 1 gives the tongues to the half on its counter-clockwise side. */
function seamAt(angle: number, c: { x: number; y: number }, turned: 0 | 1): FlatSeam {
  const [proud, hollow] = turned === 0 ? NAMES : [NAMES[1], NAMES[0]];
  const [x, y] = [Math.cos(angle), Math.sin(angle)];
  // Away by a half turn, the part before the seam is the other one.
  const sense = turned === 0 ? 1 : -1;
  return {
    name: seamName(0),
    proud,
    hollow,
    at: [snap(c.x), snap(c.y), 0],
    outwards: [sense * x, sense * y, 0],
    axis: [-sense * y, sense * x, 0],
  };
}

/** Both halves with the clay that each touches. */
function closedHalves(seam: FlatSeam, touched: Facets): ClosedPart[] {
  return [seam.proud, seam.hollow].map((name, i): ClosedPart => {
    const away = i === 0 ? back(seam.axis) : seam.axis;
    const other = i === 0 ? seam.hollow : seam.proud;
    return {
      name,
      clay: sideOf(touched, seam.at, away),
      middle: OUT,
      contacts: new Map([[other, tongueContacts(seam, i === 0)]]),
      beside: null,
    };
  });
}

/** The facets whose middle lies on one side of an upright plane. */
function sideOf({ positions: p, normals, triangles: t }: Facets, at: Vec3, away: Vec3): Facets {
  const kept: number[] = [];
  const aside = (v: number) => (p[3 * v] - at[0]) * away[0] + (p[3 * v + 1] - at[1]) * away[1];
  for (let i = 0; i < t.length; i += 3)
    if (aside(t[i]) + aside(t[i + 1]) + aside(t[i + 2]) >= 0) kept.push(t[i], t[i + 1], t[i + 2]);
  const number = new Map<number, number>();
  const positions: number[] = [];
  const own: number[] = [];
  const triangles = kept.map((v) => {
    let index = number.get(v);
    if (index === undefined) {
      number.set(v, (index = positions.length / 3));
      positions.push(p[3 * v], p[3 * v + 1], p[3 * v + 2]);
      own.push(normals[3 * v], normals[3 * v + 1], normals[3 * v + 2]);
    }
    return index;
  });
  return {
    positions: Float64Array.from(positions),
    normals: Float64Array.from(own),
    triangles: Uint32Array.from(triangles),
  };
}

/** The angle at which both halves leave with the most draft; among equals the first. */
function bestAngle(c: { x: number; y: number }, touched: Facets): number {
  let best = { angle: 0, t: -Infinity };
  for (let step = 0; step < 180; step += TURN_STEP) {
    const angle = (step * Math.PI) / 180;
    const t = Math.max(
      ...([0, 1] as const).map((turned) => {
        const seam = seamAt(angle, c, turned);
        const [first, second] = closedHalves(seam, touched);
        const slides = Float64Array.from([...OUT, ...first.contacts.get(second.name)!]);
        return Math.min(
          bestPull({ clay: first.clay.normals, slides }).t,
          bestPull({ clay: second.clay.normals, slides: Float64Array.from(OUT) }).t,
        );
      }),
    );
    if (t > best.t + 1e-3) best = { angle, t };
  }
  return best.angle;
}

/** The hump's edge in the seam, from the mouth over the top to the mouth again. */
function curveOf(section: readonly (readonly [number, number])[][], seam: FlatSeam, height: number): Vec3[] {
  const longest = section.reduce((a, b) => (b.length > a.length ? b : a));
  const on = longest.filter(([, z]) => z <= height + 1e-6);
  const start = longest.findIndex(
    ([, z], i) => z <= height + 1e-6 && longest[(i + longest.length - 1) % longest.length][1] > height + 1e-6,
  );
  if (start < 0) return on.map((place) => pointOf(seam, place));
  const turned = [...longest.slice(start), ...longest.slice(0, start)];
  return turned.filter(([, z]) => z <= height + 1e-6).map((place) => pointOf(seam, place));
}
