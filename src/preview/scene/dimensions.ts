import { Vector3, type PerspectiveCamera } from "three";
import type { PreviewDimension } from "../../../shared/preview.ts";
import { layOut, type Box, type LaidLength, type Point } from "./layout.ts";
import type { Piece } from "./piece.ts";

/** Which sizes are written on the picture. */
export type DimensionMode = "off" | "wet" | "fired" | "both";

const space = "http://www.w3.org/2000/svg";
const height = 20;
const arrow = 7;

/** Lengths of the clay, drawn over the picture as page text and lines. */
export class Dimensions {
  mode: DimensionMode = "off";
  words = { wet: "wet", fired: "fired" };
  #all: readonly PreviewDimension[] = [];
  readonly #overlay: HTMLElement;
  readonly #svg = document.createElementNS(space, "svg");
  readonly #labels: HTMLElement[] = [];
  readonly #widths: number[] = [];

  constructor(overlay: HTMLElement) {
    this.#overlay = overlay;
    this.#svg.setAttribute("class", "dimension-lines");
    overlay.append(this.#svg);
  }

  show(dimensions: readonly PreviewDimension[]): void {
    this.#all = dimensions;
  }

  /** Draws what there is room for; beside what is `taken`, and takes that room; page px. */
  place(camera: PerspectiveCamera, pieces: readonly Piece[], taken: Box[]): void {
    const clay = pieces.find(({ role }) => role === "vessel");
    const shown = this.mode === "off" || !clay?.object.visible ? [] : this.#all;
    this.#svg.replaceChildren();
    while (this.#labels.length < shown.length) {
      const label = document.createElement("span");
      label.className = "label dimension";
      this.#overlay.append(label);
      this.#labels.push(label);
    }
    this.#labels.forEach((label, i) => (label.hidden = i >= shown.length));
    if (!clay || shown.length === 0) return;

    const width = this.#overlay.clientWidth;
    const frame: Box = { x: 2, y: 2, width: width - 4, height: this.#overlay.clientHeight - 4 };
    const seen = (at: Vector3): Point => {
      const { x, y } = at.add(clay.object.position).project(camera);
      return { x: ((x + 1) / 2) * width, y: ((1 - y) / 2) * this.#overlay.clientHeight };
    };
    const { min, max } = clay.box;
    const outline = Array.from({ length: 8 }, (_, i) =>
      seen(new Vector3(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z)),
    );
    const lengths = shown.map((dimension, i) => {
      const label = this.#labels[i];
      const text = this.#text(dimension);
      if (label.textContent !== text) {
        label.textContent = text;
        this.#widths[i] = label.offsetWidth;
      }
      return {
        from: seen(new Vector3(...dimension.from)),
        to: seen(new Vector3(...dimension.to)),
        width: this.#widths[i] + 4,
        height,
        outside: dimension.what !== "widest" && dimension.what !== "narrowest",
      };
    });
    layOut(lengths, outline, taken, frame).forEach((laid, i) => {
      const label = this.#labels[i];
      label.style.visibility = laid ? "visible" : "hidden";
      if (!laid) return;
      const { words } = laid;
      taken.push(words);
      const x = words.x + words.width / 2;
      const y = words.y + words.height / 2;
      label.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
      this.#draw(laid);
    });
  }

  #text({ wet, fired }: PreviewDimension): string {
    const mm = (length: number) => String(Math.round(length * 2) / 2);
    const { words } = this;
    switch (this.mode) {
      case "off":
        return "";
      case "wet":
        return `${mm(wet)} ${words.wet}`;
      case "fired":
        return `${mm(fired)} ${words.fired}`;
      case "both":
        return `${mm(fired)} ${words.fired} · ${mm(wet)} ${words.wet}`;
    }
  }

  #draw({ line: [from, to], extensions }: LaidLength): void {
    const away = Math.hypot(to.x - from.x, to.y - from.y) || 1;
    const x = (to.x - from.x) / away;
    const y = (to.y - from.y) / away;
    const head = (tip: Point, way: number) => {
      const back = { x: tip.x - way * arrow * x, y: tip.y - way * arrow * y };
      const side = 0.36 * arrow;
      return `M${xy(tip)}L${xy({ x: back.x - side * y, y: back.y + side * x })}L${xy({ x: back.x + side * y, y: back.y - side * x })}Z`;
    };
    const strokes = [[from, to], ...extensions].map(([a, b]) => `M${xy(a)}L${xy(b)}`).join("");
    const heads = head(from, -1) + head(to, 1);
    for (const [d, name] of [
      [strokes, "halo"],
      [strokes, "stroke"],
      [heads, "head"],
    ]) {
      const path = document.createElementNS(space, "path");
      path.setAttribute("d", d);
      path.setAttribute("class", name);
      this.#svg.append(path);
    }
  }
}

const xy = ({ x, y }: Point) => `${x.toFixed(1)} ${y.toFixed(1)}`;
