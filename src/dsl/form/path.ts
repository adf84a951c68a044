/** A place on a path with a frame that turns with it and never about it. */
export interface PathFrame {
  at: Vec3;
  /** Unit direction of travel. */
  ahead: Vec3;
  /** Unit, square to it: where an outline's x lies. */
  side: Vec3;
  /** ahead × side: where an outline's y lies. */
  up: Vec3;
  /** Way from the start, of the whole length. */
  share: number;
}

type Vec3 = [number, number, number];

const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const add = (a: Vec3, b: Vec3, k = 1): Vec3 => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
const dot = (a: Vec3, b: Vec3) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Vec3): Vec3 => {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
};

/**
 * A smooth path through points, sampled so that nothing within `reach` of it leaves the true surface
 * by more than `tolerance`. Between points it is cubic, with the direction at each point that of the
 * circle through it and its neighbours; through two points it is straight.
 *
 * The frame is carried along by double reflection, which does not turn about the path.
 * Source: Wang, Jüttler, Zheng & Liu, "Computation of Rotation Minimizing Frames", ACM TOG 27 (2008).
 */
export function pathFrames(
  points: readonly (readonly [number, number, number])[],
  reach: number,
  tolerance: number,
): PathFrame[] {
  const p = points.map((point): Vec3 => [...point]);
  const tangents = directions(p);
  const places: { at: Vec3; ahead: Vec3 }[] = [];
  const most = Math.sqrt((4 * tolerance) / Math.max(reach, tolerance));
  for (let i = 0; i + 1 < p.length; i++) {
    const chord = Math.hypot(...sub(p[i + 1], p[i]));
    const at = (t: number) => hermite(p[i], p[i + 1], tangents[i], tangents[i + 1], chord, t);
    const samples = [0, 1];
    for (let k = 0; k + 1 < samples.length && samples.length < 400;) {
      const [a, b] = [at(samples[k]), at(samples[k + 1])];
      const m = at((samples[k] + samples[k + 1]) / 2);
      const bend =
        Math.acos(Math.min(1, dot(a.ahead, m.ahead))) + Math.acos(Math.min(1, dot(m.ahead, b.ahead)));
      const off = Math.hypot(...sub(m.at, add(a.at, sub(b.at, a.at), 0.5)));
      if (bend > most || off > tolerance / 2) samples.splice(k + 1, 0, (samples[k] + samples[k + 1]) / 2);
      else k++;
    }
    places.push(...(i === 0 ? samples : samples.slice(1)).map(at));
  }
  return carry(places);
}

function directions(p: readonly Vec3[]): Vec3[] {
  const last = p.length - 1;
  if (last === 1) return [unit(sub(p[1], p[0])), unit(sub(p[1], p[0]))];
  const inner = p.slice(1, -1).map((point, i) => {
    const [before, after] = [sub(point, p[i]), sub(p[i + 2], point)];
    const [a, b] = [Math.hypot(...before), Math.hypot(...after)];
    return unit(
      add(before.map((value) => (value * b) / a) as Vec3, after.map((value) => (value * a) / b) as Vec3),
    );
  });
  // At an end the circle through the three nearest points goes on: its chord halves the turn.
  const mirrored = (chord: Vec3, other: Vec3): Vec3 => {
    const d = unit(chord);
    return unit(add(d.map((value) => 2 * dot(d, other) * value) as Vec3, other, -1));
  };
  return [
    mirrored(sub(p[1], p[0]), inner[0]),
    ...inner,
    mirrored(sub(p[last], p[last - 1]), inner[inner.length - 1]),
  ];
}

function hermite(a: Vec3, b: Vec3, ta: Vec3, tb: Vec3, chord: number, t: number): { at: Vec3; ahead: Vec3 } {
  const s = 1 - t;
  const at = [0, 1, 2].map(
    (i) =>
      a[i] * s * s * (1 + 2 * t) +
      b[i] * t * t * (1 + 2 * s) +
      chord * (ta[i] * t * s * s - tb[i] * t * t * s),
  ) as Vec3;
  const slope = [0, 1, 2].map(
    (i) => 6 * t * s * (b[i] - a[i]) + chord * (ta[i] * s * (s - 2 * t) + tb[i] * t * (t - 2 * s)),
  ) as Vec3;
  return { at, ahead: unit(slope) };
}

function carry(places: readonly { at: Vec3; ahead: Vec3 }[]): PathFrame[] {
  const first = places[0].ahead;
  const upright = Math.hypot(first[0], first[1]) < 1e-6;
  let side: Vec3 = upright ? [0, 1, 0] : unit(cross([0, 0, 1], first));
  const ways = [0];
  for (let i = 1; i < places.length; i++)
    ways.push(ways[i - 1] + Math.hypot(...sub(places[i].at, places[i - 1].at)));
  return places.map(({ at, ahead }, i) => {
    if (i > 0) {
      const before = places[i - 1];
      const v1 = sub(at, before.at);
      const c1 = dot(v1, v1);
      const sideL = add(side, v1, (-2 / c1) * dot(v1, side));
      const aheadL = add(before.ahead, v1, (-2 / c1) * dot(v1, before.ahead));
      const v2 = sub(ahead, aheadL);
      const c2 = dot(v2, v2);
      side = c2 < 1e-24 ? sideL : add(sideL, v2, (-2 / c2) * dot(v2, sideL));
      side = unit(add(side, ahead, -dot(side, ahead)));
    }
    return { at, ahead, side, up: cross(ahead, side), share: ways[i] / ways[ways.length - 1] };
  });
}
