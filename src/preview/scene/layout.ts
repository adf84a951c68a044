/** A rectangle on the page, px. */
export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Point {
  x: number;
  y: number;
}

const overlap = (a: Box, b: Box) =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

const within = (box: Box, frame: Box) =>
  box.x >= frame.x &&
  box.y >= frame.y &&
  box.x + box.width <= frame.x + frame.width &&
  box.y + box.height <= frame.y + frame.height;

/** The first of `boxes` that lies in `frame` and covers nothing of what is `taken`. */
export function freePlace(boxes: readonly Box[], taken: readonly Box[], frame: Box): Box | undefined {
  return boxes.find((box) => within(box, frame) && !taken.some((other) => overlap(box, other)));
}

/** A length as it is seen: its ends on the page, and what is to be written at it. */
export interface SeenLength {
  from: Point;
  to: Point;
  /** Size of the words, px. */
  width: number;
  height: number;
  /** Lies beside the body it measures, on the side away from `middle`; otherwise across it. */
  outside: boolean;
}

/** A length laid out: its line, the ends of the extension lines, and the room of its words. */
export interface LaidLength {
  line: [Point, Point];
  /** From the body to a little beyond the line; empty where the line lies on the body. */
  extensions: [Point, Point][];
  words: Box;
}

/** Shorter on the page than this, a length is not drawn, px. */
const shortest = 34;
/** First distance of a line from the body's outline, and of the next from it, px. */
const first = 20;
const step = 22;
/** Extension lines keep this much from the body and run this much beyond the line, px. */
const gap = 4;
const beyond = 5;

/**
 * Lays lengths out one after another so that no words cover others or what is `taken`: beside the
 * body, at the first of four distances from its outline at which there is room; across it, with the
 * words at the first of five places along the line. Gives null for a length that is seen too short,
 * runs out of `frame`, or finds no room. `outline` are points around the body, page px.
 */
export function layOut(
  lengths: readonly SeenLength[],
  outline: readonly Point[],
  taken: readonly Box[],
  frame: Box,
): (LaidLength | null)[] {
  const middle = mean(outline);
  const used = [...taken];
  return lengths.map((length) => {
    const all = [...placements(length, outline, middle)];
    const words = freePlace(
      all.map((one) => one.words),
      used,
      frame,
    );
    if (!words) return null;
    used.push(words);
    return all.find((one) => one.words === words) ?? null;
  });
}

function* placements(length: SeenLength, outline: readonly Point[], middle: Point): Generator<LaidLength> {
  const { from, to, width, height } = length;
  const x = to.x - from.x;
  const y = to.y - from.y;
  const seen = Math.hypot(x, y);
  if (seen < shortest) return;
  const words = (at: Point): Box => ({ x: at.x - width / 2, y: at.y - height / 2, width, height });
  const along = (t: number, a: Point, b: Point): Point => ({
    x: a.x + t * (b.x - a.x),
    y: a.y + t * (b.y - a.y),
  });
  if (!length.outside) {
    for (const t of [0.5, 0.3, 0.7, 0.18, 0.82])
      yield { line: [from, to], extensions: [], words: words(along(t, from, to)) };
    return;
  }
  let nx = -y / seen;
  let ny = x / seen;
  const half = along(0.5, from, to);
  if (nx * (half.x - middle.x) + ny * (half.y - middle.y) < 0) {
    nx = -nx;
    ny = -ny;
  }
  const reach = (point: Point) => nx * point.x + ny * point.y;
  const edge = Math.max(...outline.map(reach), reach(from), reach(to));
  for (let level = 0; level < 4; level++) {
    const at = edge + first + level * step;
    const out = (point: Point, extra = 0): Point => {
      const by = at - reach(point) + extra;
      return { x: point.x + by * nx, y: point.y + by * ny };
    };
    const line: [Point, Point] = [out(from), out(to)];
    const extensions = [from, to].map((point): [Point, Point] => [
      { x: point.x + gap * nx, y: point.y + gap * ny },
      out(point, beyond),
    ]);
    for (const t of [0.5, 0.3, 0.7]) yield { line, extensions, words: words(along(t, ...line)) };
  }
}

function mean(points: readonly Point[]): Point {
  const sum = points.reduce((at, point) => ({ x: at.x + point.x, y: at.y + point.y }), { x: 0, y: 0 });
  return { x: sum.x / points.length, y: sum.y / points.length };
}
