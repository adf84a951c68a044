import { Vector3, type PerspectiveCamera } from "three";
import type { Piece } from "./piece.ts";

/** Words on the picture: names of parts and the numbers of the ground's rings, as page text over the canvas. */
export class Labels {
  names = true;
  readonly #overlay: HTMLElement;
  #pool: HTMLElement[] = [];

  constructor(overlay: HTMLElement) {
    this.#overlay = overlay;
  }

  /** Puts every label where its point is seen. Names of parts show once the mold is open. */
  place(
    camera: PerspectiveCamera,
    pieces: readonly Piece[],
    rings: { at: Vector3; text: string }[],
    apart: number,
  ): void {
    const wanted = rings.map(({ at, text }) => ({ at, text, kind: "ring" }));
    if (this.names) {
      for (const piece of pieces) {
        if (!piece.object.visible || (piece.apart !== null && apart < 0.05)) continue;
        const at = piece.box.getCenter(new Vector3());
        at.z = piece.box.max.z;
        wanted.push({ at: at.add(piece.object.position), text: piece.name, kind: "name" });
      }
    }
    const width = this.#overlay.clientWidth;
    const height = this.#overlay.clientHeight;
    while (this.#pool.length < wanted.length) {
      const label = document.createElement("span");
      this.#overlay.append(label);
      this.#pool.push(label);
    }
    this.#pool.forEach((label, i) => {
      const want = wanted[i];
      const point = want?.at.clone().project(camera);
      label.hidden =
        point === undefined || point.z > 1 || Math.abs(point.x) > 0.95 || Math.abs(point.y) > 0.97;
      if (want === undefined || point === undefined || label.hidden) return;
      if (label.textContent !== want.text) label.textContent = want.text;
      label.className = `label ${want.kind}`;
      const x = ((point.x + 1) / 2) * width;
      const y = ((1 - point.y) / 2) * height;
      label.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
    });
  }
}
