import { Ray, Vector3, type PerspectiveCamera, type Plane } from "three";
import type { FindingLine } from "../../../shared/preview.ts";
import { firstHit } from "./picker.ts";
import type { Piece } from "./piece.ts";
import type { Box } from "./layout.ts";

/** A finding at its places on the mold. */
export interface Mark {
  /** From 0, as in the list of findings; the badge shows one more. */
  index: number;
  severity: FindingLine["severity"];
  /** Mold frame, closed, mm; the worst first, and that is where the badge stands. */
  at: readonly (readonly [number, number, number])[];
  /** The piece that it moves with; the clay where it is absent or not among the pieces. */
  part?: string;
}

const space = "http://www.w3.org/2000/svg";

/** Outlines of 24 × 24: severity is told by shape, not by colour alone. */
const shapes: Record<Mark["severity"], string> = {
  error: "M8 2.5h8L21.5 8v8L16 21.5H8L2.5 16V8z",
  warning: "M12 2.2 22.6 21H1.4z",
  info: "M12 2a10 10 0 1 0 0 20 10 10 0 0 0 0-20z",
};

interface Badge {
  mark: Mark;
  element: HTMLElement;
  /** The further places, seen while the mark is active. */
  pips: HTMLElement[];
}

/** A place nearer to a surface than this, as a share of the distance to the eye, counts as on it. */
const onSurface = 0.004;

/** Numbered badges over the picture, where findings are. What is behind something is fainter. */
export class Marks {
  readonly #overlay: HTMLElement;
  readonly #chosen: (index: number) => void;
  #badges: Badge[] = [];
  #active: number | null = null;

  constructor(overlay: HTMLElement, chosen: (index: number) => void) {
    this.#overlay = overlay;
    this.#chosen = chosen;
  }

  show(marks: readonly Mark[]): void {
    for (const { element, pips } of this.#badges) for (const one of [element, ...pips]) one.remove();
    this.#badges = marks.flatMap((mark) => {
      if (mark.at.length === 0) return [];
      const element = badge(mark);
      element.addEventListener("click", () => this.#chosen(mark.index));
      const pips = mark.at.slice(1).map(() => {
        const pip = document.createElement("span");
        pip.className = `pip ${mark.severity}`;
        return pip;
      });
      this.#overlay.append(...pips, element);
      return [{ mark, element, pips }];
    });
  }

  set active(index: number | null) {
    this.#active = index;
  }

  /** Puts every badge where its place is seen. Gives the room that they take, page pixels. */
  place(camera: PerspectiveCamera, pieces: readonly Piece[]): Box[] {
    const taken: Box[] = [];
    for (const { mark, element, pips } of this.#badges) {
      const active = mark.index === this.#active;
      const piece = carrier(mark, pieces);
      mark.at.forEach((at, i) => {
        const spot = i === 0 ? element : pips[i - 1];
        const world = new Vector3(...at);
        if (piece) world.add(piece.object.position);
        const screen = world.clone().project(camera);
        const outside = screen.z > 1 || Math.abs(screen.x) > 0.98 || Math.abs(screen.y) > 0.98;
        spot.hidden = outside || (!active && (i > 0 || piece?.object.visible === false));
        if (spot.hidden) return;
        spot.classList.toggle("active", active);
        const x = ((screen.x + 1) / 2) * this.#overlay.clientWidth;
        const y = ((1 - screen.y) / 2) * this.#overlay.clientHeight;
        spot.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
        if (i === 0) taken.push({ x: x - 12, y: y - 12, width: 24, height: 24 });
      });
    }
    return taken;
  }

  /** Makes fainter what is behind something, or cut away. Costs a ray a place: for when the picture rests. */
  shade(camera: PerspectiveCamera, pieces: readonly Piece[], cut: Plane | null): void {
    for (const { mark, element, pips } of this.#badges) {
      const piece = carrier(mark, pieces);
      mark.at.forEach((at, i) => {
        const spot = i === 0 ? element : pips[i - 1];
        if (spot.hidden) return;
        const world = new Vector3(...at);
        if (piece) world.add(piece.object.position);
        spot.classList.toggle("behind", isBehind(world, camera, pieces, cut));
      });
    }
  }
}

function carrier(mark: Mark, pieces: readonly Piece[]): Piece | undefined {
  return pieces.find(({ name }) => name === mark.part) ?? pieces.find(({ role }) => role === "vessel");
}

function isBehind(
  world: Vector3,
  camera: PerspectiveCamera,
  pieces: readonly Piece[],
  cut: Plane | null,
): boolean {
  if (cut && cut.distanceToPoint(world) < 0) return true;
  const way = world.clone().sub(camera.position);
  const distance = way.length();
  const ray = new Ray(camera.position.clone(), way.divideScalar(distance));
  return firstHit(ray, pieces, cut, distance * (1 - onSurface)) !== undefined;
}

function badge(mark: Mark): HTMLElement {
  const element = document.createElement("span");
  element.className = `mark ${mark.severity}`;
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  const shape = document.createElementNS(space, "path");
  shape.setAttribute("d", shapes[mark.severity]);
  svg.append(shape);
  const number = document.createElement("b");
  number.textContent = String(mark.index + 1);
  if (mark.index >= 9) number.className = "long";
  element.append(svg, number);
  return element;
}
