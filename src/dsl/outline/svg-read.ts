import { parseXml, XmlElement, XmlError } from "@rgrove/parse-xml";
import { SVGPathData } from "svg-pathdata";
import { line, type Segment } from "./curve.ts";
import { cubic } from "./segments.ts";

/** The first closed path of a drawing, mm, y upwards; or why there is none. */
export type SvgOutline = { segments: Segment[] } | { fault: string };

/** What is drawn by these is not part of the picture itself. */
const APART = new Set([
  "defs",
  "symbol",
  "clipPath",
  "mask",
  "pattern",
  "marker",
  "metadata",
  "style",
  "script",
]);

/** mm for each unit of length that says what it is [S: W3C CSS Values: 96 px an inch]. */
const UNIT: Record<string, number> = {
  mm: 1,
  cm: 10,
  in: 25.4,
  pt: 25.4 / 72,
  pc: 25.4 / 6,
};

/** a c e / b d f, as SVG writes it. */
type Matrix = readonly [number, number, number, number, number, number];

/**
 * Reads the first closed path, in the order of the drawing: a path that ends where it begins, a
 * polygon, circle, ellipse or rectangle. Groups' transforms count. A drawing whose width is in mm,
 * cm, in, pt or pc has that size; in any other, one unit is one mm.
 */
export function readSvg(text: string): SvgOutline {
  let root: XmlElement | null;
  try {
    root = parseXml(text, { ignoreUndefinedEntities: true }).root;
  } catch (error) {
    if (!(error instanceof XmlError)) throw error;
    return { fault: `it is not a drawing: line ${error.line} does not read as XML` };
  }
  if (root?.name.replace(/^.*:/, "") !== "svg")
    return { fault: "it is not a drawing: there is no <svg> in it" };
  const scale = unitOf(root);
  let fault = "there is no closed path in it";
  for (const { element, matrix } of shapes(root, [scale, 0, 0, -scale, 0, 0])) {
    try {
      const segments = closedPath(dataOf(element), matrix);
      if (segments) return { segments };
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      fault = `a path in it does not read: ${error.message.replace(/\.$/, "")}`;
      return { fault };
    }
  }
  return { fault };
}

function unitOf(root: XmlElement): number {
  const width = /^\s*([\d.]+(?:e[-+]?\d+)?)\s*([a-z]+)\s*$/i.exec(root.attributes.width ?? "");
  const unit = width && UNIT[width[2].toLowerCase()];
  if (!unit) return 1;
  const box = (root.attributes.viewBox ?? "")
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const size = Number(width[1]) * unit;
  return box.length === 4 && box[2] > 0 && size > 0 ? size / box[2] : unit;
}

function* shapes(parent: XmlElement, outer: Matrix): Generator<{ element: XmlElement; matrix: Matrix }> {
  for (const element of parent.children) {
    if (!(element instanceof XmlElement)) continue;
    const name = element.name.replace(/^.*:/, "");
    const { transform, display, style } = element.attributes;
    if (APART.has(name) || display === "none" || /display\s*:\s*none/.test(style ?? "")) continue;
    const matrix = times(outer, matrixOf(transform ?? ""));
    if (["path", "polygon", "polyline", "circle", "ellipse", "rect"].includes(name))
      yield { element, matrix };
    yield* shapes(element, matrix);
  }
}

function times(p: Matrix, q: Matrix): Matrix {
  return [
    p[0] * q[0] + p[2] * q[1],
    p[1] * q[0] + p[3] * q[1],
    p[0] * q[2] + p[2] * q[3],
    p[1] * q[2] + p[3] * q[3],
    p[0] * q[4] + p[2] * q[5] + p[4],
    p[1] * q[4] + p[3] * q[5] + p[5],
  ];
}

const SAME: Matrix = [1, 0, 0, 1, 0, 0];

function matrixOf(transform: string): Matrix {
  let matrix = SAME;
  for (const [, name, list] of transform.matchAll(/(\w+)\s*\(([^)]*)\)/g)) {
    const given = list
      .trim()
      .split(/[\s,]+/)
      .map(Number);
    if (given.some((value) => !Number.isFinite(value))) continue;
    matrix = times(matrix, oneTransform(name, given));
  }
  return matrix;
}

function oneTransform(name: string, given: readonly number[]): Matrix {
  const [a, b = 0, c = 0] = given;
  const radians = (a * Math.PI) / 180;
  switch (name) {
    case "matrix":
      return given.length === 6 ? (given as unknown as Matrix) : SAME;
    case "translate":
      return [1, 0, 0, 1, a, b];
    case "scale":
      return [a, 0, 0, given.length > 1 ? b : a, 0, 0];
    case "rotate": {
      const cos = Math.cos(radians);
      const sin = Math.sin(radians);
      return times(times([1, 0, 0, 1, b, c], [cos, sin, -sin, cos, 0, 0]), [1, 0, 0, 1, -b, -c]);
    }
    case "skewX":
      return [1, 0, Math.tan(radians), 1, 0, 0];
    case "skewY":
      return [1, Math.tan(radians), 0, 1, 0, 0];
    default:
      return SAME;
  }
}

/** Any shape as path data. */
function dataOf({ name, attributes }: XmlElement): string {
  const number = (key: string) => Number.parseFloat(attributes[key] ?? "0") || 0;
  const round = (cx: number, cy: number, rx: number, ry: number) =>
    rx > 0 && ry > 0
      ? `M${cx + rx} ${cy}A${rx} ${ry} 0 0 1 ${cx - rx} ${cy}A${rx} ${ry} 0 0 1 ${cx + rx} ${cy}Z`
      : "";
  switch (name.replace(/^.*:/, "")) {
    case "polygon":
      return attributes.points ? `M${attributes.points}Z` : "";
    case "polyline":
      return attributes.points ? `M${attributes.points}` : "";
    case "circle":
      return round(number("cx"), number("cy"), number("r"), number("r"));
    case "ellipse":
      return round(number("cx"), number("cy"), number("rx"), number("ry"));
    case "rect": {
      const [x, y, w, h] = [number("x"), number("y"), number("width"), number("height")];
      if (w <= 0 || h <= 0) return "";
      const rx = Math.min(number(attributes.rx === undefined ? "ry" : "rx"), w / 2);
      const ry = Math.min(number(attributes.ry === undefined ? "rx" : "ry"), h / 2);
      if (rx <= 0 || ry <= 0) return `M${x} ${y}h${w}v${h}h${-w}Z`;
      const turn = (dx: number, dy: number) => `a${rx} ${ry} 0 0 1 ${dx} ${dy}`;
      return (
        `M${x + rx} ${y}h${w - 2 * rx}${turn(rx, ry)}v${h - 2 * ry}${turn(-rx, ry)}` +
        `h${2 * rx - w}${turn(-rx, -ry)}v${2 * ry - h}${turn(rx, -ry)}Z`
      );
    }
    default:
      return attributes.d ?? "";
  }
}

type Point = { x: number; y: number };

/** The first subpath that ends where it begins, as stretches; null where there is none. */
function closedPath(data: string, m: Matrix): Segment[] | null {
  const commands = new SVGPathData(data).toAbs().normalizeHVZ(false).normalizeST().qtToC().aToC().commands;
  const put = (x: number, y: number): Point => ({
    x: m[0] * x + m[2] * y + m[4],
    y: m[1] * x + m[3] * y + m[5],
  });
  let start: Point = { x: 0, y: 0 };
  let at = start;
  let segments: Segment[] = [];
  const isClosed = () =>
    segments.length > 0 && Math.hypot(at.x - start.x, at.y - start.y) < 1e-3 * extent(segments);
  const straight = (to: Point) => {
    if (Math.hypot(to.x - at.x, to.y - at.y) > 1e-9) segments.push(line(at.x, at.y, to.x, to.y));
    at = to;
  };
  for (const command of commands) {
    switch (command.type) {
      case SVGPathData.MOVE_TO:
        if (isClosed()) return closeGap(segments, at, start);
        start = at = put(command.x, command.y);
        segments = [];
        break;
      case SVGPathData.LINE_TO:
        straight(put(command.x, command.y));
        break;
      case SVGPathData.CURVE_TO: {
        const b = put(command.x1, command.y1);
        const c = put(command.x2, command.y2);
        const d = put(command.x, command.y);
        const piece = cubic({ ax: at.x, ay: at.y, bx: b.x, by: b.y, cx: c.x, cy: c.y, dx: d.x, dy: d.y });
        if (piece) segments.push(piece);
        at = d;
        break;
      }
      case SVGPathData.CLOSE_PATH:
        straight(start);
        if (segments.length > 0) return segments;
        break;
      default:
        throw new Error(`a command of kind ${command.type} is left`);
    }
  }
  return isClosed() ? closeGap(segments, at, start) : null;
}

function closeGap(segments: Segment[], at: Point, start: Point): Segment[] {
  return Math.hypot(at.x - start.x, at.y - start.y) > 1e-9
    ? [...segments, line(at.x, at.y, start.x, start.y)]
    : segments;
}

function extent(segments: readonly Segment[]): number {
  return segments.reduce((sum, segment) => sum + segment.length, 0);
}
