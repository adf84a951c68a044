import type { PerspectiveCamera } from "three";

/** Where in its pixel the picture is sampled, pixels from the middle; the first is the picture as drawn. */
const samples = [
  [0, 0],
  [0.125, 0.375],
  [0.375, -0.125],
  [-0.125, -0.375],
  [-0.375, 0.125],
];

/**
 * A picture with smooth edges for a renderer too slow to smooth each: when nothing moves it is drawn
 * a few times, each shifted by part of a pixel, and the mean stands over it until something changes.
 * The canvas keeps its size, since another one would cost more than the samples; each sample is a
 * task of its own, so that a key pressed meanwhile waits for one of them at most.
 */
export class Still {
  readonly #source: HTMLCanvasElement;
  readonly #shown = document.createElement("canvas");
  readonly #sum = document.createElement("canvas");
  #task: ReturnType<typeof setTimeout> | undefined;

  /** Stands over `source`, in its parent. */
  constructor(source: HTMLCanvasElement) {
    this.#source = source;
    this.#shown.className = "still";
    this.#shown.setAttribute("aria-hidden", "true");
    this.#shown.hidden = true;
    source.after(this.#shown);
  }

  /** Makes the still; `draw` draws the picture at once, `done` is called when it stands. */
  take(camera: PerspectiveCamera, draw: () => void, done: () => void): void {
    this.drop();
    const { width, height } = this.#source;
    for (const canvas of [this.#shown, this.#sum]) Object.assign(canvas, { width, height });
    this.#next(0, camera, draw, done);
  }

  /** What is on the source is to be seen again. */
  drop(): void {
    clearTimeout(this.#task);
    this.#shown.hidden = true;
    this.#source.style.opacity = "";
  }

  #next(k: number, camera: PerspectiveCamera, draw: () => void, done: () => void): void {
    const { width, height } = this.#source;
    const [x, y] = samples[k];
    camera.setViewOffset(width, height, x, y, width, height);
    draw();
    camera.clearViewOffset();
    const sum = this.#sum.getContext("2d");
    const shown = this.#shown.getContext("2d");
    if (!sum || !shown) return;
    sum.globalCompositeOperation = "lighter";
    sum.globalAlpha = 1 / samples.length;
    sum.drawImage(this.#source, 0, 0);
    const last = k + 1 === samples.length;
    if (k === 0 || last) {
      shown.clearRect(0, 0, width, height);
      shown.drawImage(last ? this.#sum : this.#source, 0, 0);
      this.#shown.hidden = false;
      this.#source.style.opacity = "0";
    }
    if (last) done();
    else this.#task = setTimeout(() => this.#next(k + 1, camera, draw, done), 0);
  }
}
