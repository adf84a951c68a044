import { Vector3, type PerspectiveCamera, type Plane } from "three";
import { freePlace, type Box, type Point } from "./layout.ts";
import type { Piece } from "./piece.ts";

const nameHeight = 20;
/** Where a name goes when there is no room at its piece: above, below, further above; px. */
const shifts = [0, -24, 24, -48];

/** Words on the picture: names of parts and the numbers of the ground's rings, as page text over the canvas. */
export class Labels {
  names = true;
  readonly #overlay: HTMLElement;
  readonly #rings: HTMLElement[] = [];
  readonly #names: HTMLElement[] = [];
  readonly #widths = new Map<string, number>();

  constructor(overlay: HTMLElement) {
    this.#overlay = overlay;
  }

  /** Puts the number of each ring where it is seen. */
  placeRings(camera: PerspectiveCamera, rings: readonly { at: Vector3; text: string }[]): void {
    this.#want(this.#rings, rings.length, "label ring");
    rings.forEach(({ at, text }, i) => {
      const point = this.#seen(at.clone(), camera);
      this.#rings[i].hidden = point === null;
      if (point) this.#put(this.#rings[i], text, point);
    });
  }

  /**
   * Puts the name of each piece in sight at its top, beside what is `taken`, and takes that room;
   * a name that finds none is left out. Parts are named once the mold is `open`.
   */
  placeNames(
    camera: PerspectiveCamera,
    pieces: readonly Piece[],
    { open, cut, taken }: { open: boolean; cut: Plane | null; taken: Box[] },
  ): void {
    const frame = { x: 0, y: 0, width: this.#overlay.clientWidth, height: this.#overlay.clientHeight };
    this.#want(this.#names, pieces.length, "label name");
    pieces.forEach((piece, i) => {
      const label = this.#names[i];
      const at = this.names && (open || piece.apart === null) ? namePlace(piece, cut) : null;
      const point = at && this.#seen(at, camera);
      label.hidden = !point;
      if (!point) return;
      const width = this.#widthOf(label, piece.name);
      const boxes = shifts.map((shift) => ({
        x: point.x - width / 2,
        y: point.y + shift - nameHeight / 2,
        width,
        height: nameHeight,
      }));
      const box = freePlace(boxes, taken, frame);
      label.hidden = box === undefined;
      if (!box) return;
      taken.push(box);
      this.#put(label, piece.name, { x: point.x, y: box.y + nameHeight / 2 });
    });
  }

  #seen(at: Vector3, camera: PerspectiveCamera): Point | null {
    const { x, y, z } = at.project(camera);
    if (z > 1 || Math.abs(x) > 0.97 || Math.abs(y) > 0.97) return null;
    return { x: ((x + 1) / 2) * this.#overlay.clientWidth, y: ((1 - y) / 2) * this.#overlay.clientHeight };
  }

  #want(pool: HTMLElement[], count: number, name: string): void {
    while (pool.length < count) {
      const label = document.createElement("span");
      label.className = name;
      this.#overlay.append(label);
      pool.push(label);
    }
    pool.forEach((label, i) => (label.hidden = i >= count));
  }

  #widthOf(label: HTMLElement, text: string): number {
    const known = this.#widths.get(text);
    if (known !== undefined) return known;
    label.textContent = text;
    const width = label.offsetWidth;
    this.#widths.set(text, width);
    return width;
  }

  #put(label: HTMLElement, text: string, { x, y }: Point): void {
    if (label.textContent !== text) label.textContent = text;
    label.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
  }
}

/** Over the middle of a piece, or of what a cut leaves of it; null where nothing is left or to be seen. */
function namePlace({ object, box }: Piece, cut: Plane | null): Vector3 | null {
  if (!object.visible) return null;
  const at = box.getCenter(new Vector3());
  at.z = box.max.z;
  at.add(object.position);
  const beyond = cut ? cut.distanceToPoint(at) : 0;
  if (!cut || beyond >= 0) return at;
  at.addScaledVector(cut.normal, -beyond);
  const left = box.clone().translate(object.position).expandByScalar(0.01);
  return left.containsPoint(at) ? at : null;
}
