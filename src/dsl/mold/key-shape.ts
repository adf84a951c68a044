/** Profile of a key about its axis: radius and height above the seam face, mm. */
export type KeyProfile = { r: number; h: number }[];

/** Level outlines of a key that is not round: height above the face and corners, along and across its run, mm. */
export type KeyLevels = { h: number; corners: [number, number][] }[];

export interface KeyShape {
  /** Of the peg above the face once it is printed, mm. */
  height: number;
  /** Least angle between a flank and the axis, degrees. */
  taper: number;
  /** From its root, `root` mm under the face, to its top. */
  peg(root: number): KeyProfile;
  /** What is taken from the other part, starting `over` mm outside its face. */
  socket(over: number): KeyProfile;
  /** The same for a key that is not round; `r` of its profiles is then how far it reaches. */
  levels?: { peg(root: number): KeyLevels; socket(over: number): KeyLevels };
}

/** Steps of a dome from rim to top. */
const DOME_STEPS = 5;

/**
 * A spherical cap. Its rim meets the face at half-angle ω = min(45°, 90° − θ − 5°): it slides off
 * along a pull θ from the axis with 5° to spare, and prints upright without support. Its socket is
 * the sphere `clearance` larger about the same middle.
 *
 * In print a face stands `spread` proud: pegs are drawn that much smaller and sockets larger, square
 * to the flank, so that size and clearance are there in print. So with all shapes.
 *
 * @param radius of the rim at the seam face, mm
 * @param theta angle between the axis and the pull of the part that leaves first, degrees
 * @param most greatest height, mm
 */
export function dome(
  radius: number,
  theta: number,
  clearance: number,
  most: number,
  spread = 0,
): KeyShape | null {
  const omega = Math.min((Math.min(45, 85 - theta) * Math.PI) / 180, 2 * Math.atan(most / radius));
  if (omega <= 0) return null;
  const sphere = radius / Math.sin(omega);
  const middle = -radius / Math.tan(omega);
  const height = radius * Math.tan(omega / 2);
  if (height <= spread) return null;
  const smaller = sphere - spread;
  const larger = sphere + clearance + spread;
  const rim = Math.sqrt(larger * larger - middle * middle);
  const cap = (r: number, from: number): KeyProfile =>
    Array.from({ length: DOME_STEPS + 1 }, (_, i) => {
      const angle = from * (1 - i / DOME_STEPS);
      return { r: i === DOME_STEPS ? 0 : r * Math.sin(angle), h: middle + r * Math.cos(angle) };
    });
  return {
    height,
    taper: 90 - (omega * 180) / Math.PI,
    peg: (root) => [
      { r: spread > 0 ? Math.sqrt(smaller * smaller - middle * middle) : radius, h: -root },
      ...cap(smaller, spread > 0 ? Math.acos(-middle / smaller) : omega),
    ],
    socket: (over) => [
      { r: rim + (over * -middle) / rim, h: -over },
      ...cap(larger, Math.acos(Math.max(-1, -middle / larger))),
    ],
  };
}

/** A cone's top is never narrower than this, mm: a printed nub. */
const CONE_TOP = 1;
/** A cone has at least this taper, degrees, however straight the pull. */
const CONE_TAPER = 10;

/**
 * A frustum whose flanks lean θ + 3° from the axis or more, as high as the face allows. Its socket
 * is offset by `clearance` square to flank and top.
 *
 * @param most greatest height, mm
 */
export function cone(
  radius: number,
  theta: number,
  clearance: number,
  most: number,
  spread = 0,
): KeyShape | null {
  const taper = Math.max(CONE_TAPER, theta + 3);
  if (taper >= 89) return null;
  const slope = Math.tan((taper * Math.PI) / 180);
  const height = Math.min(most, (radius - CONE_TOP) / slope);
  if (height <= spread) return null;
  const flank = Math.cos((taper * Math.PI) / 180);
  const foot = radius - spread / flank;
  const wider = radius + (clearance + spread) / flank;
  const top = height - spread;
  const ground = height + clearance + spread;
  return {
    height,
    taper,
    peg: (root) => [
      { r: foot, h: -root },
      { r: foot, h: 0 },
      { r: foot - top * slope, h: top },
    ],
    socket: (over) => [
      { r: wider + over * slope, h: -over },
      { r: wider - ground * slope, h: ground },
    ],
  };
}

/** A ridge's sides and the end that it slides away from lean this much, degrees. */
const RIDGE_TAPER = 20;

/**
 * A ridge twice as long as wide that runs along the trace of the pull in the face. Only its rear end,
 * over which the part slides as it leaves, leans θ + 3° or more; its sides and its front are steep.
 *
 * @param width mm
 * @param most greatest height, mm
 */
export function ridge(
  width: number,
  theta: number,
  clearance: number,
  most: number,
  spread = 0,
): KeyShape | null {
  const rear = Math.max(RIDGE_TAPER, theta + 3);
  if (rear >= 89) return null;
  const tan = (degrees: number) => Math.tan((degrees * Math.PI) / 180);
  const cos = (degrees: number) => Math.cos((degrees * Math.PI) / 180);
  const height = Math.min(
    most,
    (2 * width - CONE_TOP) / (tan(rear) + tan(RIDGE_TAPER)),
    (width - CONE_TOP) / (2 * tan(RIDGE_TAPER)),
  );
  if (height <= spread) return null;
  const room = clearance + spread;
  const top = height - spread;
  const level = (h: number, gap: number): KeyLevels[number] => {
    const back = -width - gap / cos(rear) + h * tan(rear);
    const front = width + gap / cos(RIDGE_TAPER) - h * tan(RIDGE_TAPER);
    const side = width / 2 + gap / cos(RIDGE_TAPER) - h * tan(RIDGE_TAPER);
    return {
      h,
      corners: [
        [back, -side],
        [front, -side],
        [front, side],
        [back, side],
      ],
    };
  };
  const reach = width + room / cos(rear);
  return {
    height,
    taper: rear,
    peg: (root) => [
      { r: width, h: -root },
      { r: width, h: top },
    ],
    socket: (over) => [
      { r: reach, h: -over },
      { r: reach, h: height + room },
    ],
    levels: {
      peg: (root) => [{ ...level(0, -spread), h: -root }, level(0, -spread), level(top, -spread)],
      socket: (over) => [level(-over, room), level(height + room, room)],
    },
  };
}
