import {
  Box3,
  DirectionalLight,
  Group,
  HemisphereLight,
  PerspectiveCamera,
  Scene,
  Vector3,
  WebGLRenderer,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import type { PreviewView } from "../../../shared/preview.ts";
import { arrange, type Kind } from "./arrange.ts";
import { Labels } from "./labels.ts";
import { Palette, readTheme } from "./palette.ts";
import type { Piece } from "./piece.ts";
import { Shadow } from "./shadow.ts";
import { Wheel } from "./wheel.ts";

/** The first look comes from the front, a little from the right and from above; degrees. */
const homeAzimuth = -58;
const homeHeight = 25;
const stillAfterMs = 250;

/** A software renderer has no time for many samples while something moves. */
function drawsInSoftware(): boolean {
  const context = document.createElement("canvas").getContext("webgl2");
  if (!context) return false;
  const info = context.getExtension("WEBGL_debug_renderer_info");
  const name = info ? String(context.getParameter(info.UNMASKED_RENDERER_WEBGL)) : "";
  context.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}

export interface StageEvents {
  /** The view was changed by hand. */
  onView(): void;
  onContext(lost: boolean): void;
}

/**
 * The picture: pieces on the ground, seen by a camera that goes around them. Draws only when
 * something has changed; a moment later once more with finer edges where the renderer is slow.
 * Throws where there is no WebGL.
 */
export class Stage {
  readonly palette = new Palette();
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #content = new Group();
  readonly #wheel = new Wheel();
  readonly #shadow = new Shadow();
  readonly #camera = new PerspectiveCamera(26, 1, 1, 10_000);
  readonly #controls: OrbitControls;
  readonly #labels: Labels;
  readonly #events: StageEvents;
  readonly #software = drawsInSoftware();
  #pieces: Piece[] = [];
  #seen = new Box3();
  /** The camera keeps everything in sight until the maker zooms or shifts the view by hand. */
  #fitted = true;
  /** Nobody has chosen a view yet. */
  #untouched = true;
  #apart = 0;
  #hidden: ReadonlySet<Kind> = new Set();
  #frame = 0;
  #still = 0;
  #afterFrame: (() => void)[] = [];

  constructor(canvas: HTMLCanvasElement, overlay: HTMLElement, events: StageEvents) {
    this.#events = events;
    this.#renderer = new WebGLRenderer({ canvas, antialias: !this.#software, alpha: true, stencil: true });
    this.#renderer.setClearColor(0x000000, 0);
    this.#labels = new Labels(overlay);

    // The key light goes with the eye, over the left shoulder: shape can be read from every side.
    const key = new DirectionalLight(0xfff4e6, 2.1);
    key.position.set(-0.7, 0.9, 1);
    const rim = new DirectionalLight(0xdfeaff, 0.55);
    rim.position.set(1, 0.2, -0.5);
    this.#camera.add(key, rim);
    this.#camera.up.set(0, 0, 1);
    this.#camera.position.copy(this.#homeDirection()).multiplyScalar(400);
    const sky = new HemisphereLight(0xf4f7fa, 0xa8998a, 1.5);
    sky.position.set(0, 0, 1);
    this.#scene.add(this.#camera, sky, this.#content, this.#wheel.object, this.#shadow.object);

    this.#controls = new OrbitControls(this.#camera, canvas);
    this.#controls.enableDamping = false;
    this.#controls.zoomToCursor = true;
    this.#controls.rotateSpeed = 0.8;
    this.#controls.addEventListener("change", () => this.draw());
    let before = this.#controls.getDistance();
    const target = new Vector3();
    this.#controls.addEventListener("start", () => {
      this.#untouched = false;
      before = this.#controls.getDistance();
      target.copy(this.#controls.target);
    });
    this.#controls.addEventListener("end", () => {
      const moved = target.distanceTo(this.#controls.target) > 1e-3;
      if (moved || Math.abs(this.#controls.getDistance() - before) > 1e-3) this.#fitted = false;
      this.#events.onView();
    });
    canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.#events.onContext(true);
    });
    canvas.addEventListener("webglcontextrestored", () => {
      this.#events.onContext(false);
      this.#settle();
    });
    new ResizeObserver(() => this.#resize()).observe(canvas.parentElement ?? canvas);
    new MutationObserver(() => this.followTheme()).observe(document.body, {
      attributes: true,
      attributeFilter: ["class", "data-vscode-theme-kind", "data-vscode-theme-id"],
    });
    this.followTheme();
    this.#resize();
  }

  /** Puts these pieces on the ground in place of what was there. */
  show(pieces: Piece[]): void {
    this.#content.clear();
    for (const piece of pieces) this.#content.add(piece.object);
    this.#pieces = pieces;
    if (this.#untouched && pieces.length > 0) this.#lookFromHome();
    this.#settle();
  }

  /** How far the mold is open, 0 closed … 1. */
  set apart(value: number) {
    this.#apart = value;
    this.#settle();
  }

  set hidden(kinds: ReadonlySet<Kind>) {
    this.#hidden = kinds;
    this.#settle();
  }

  set names(shown: boolean) {
    this.#labels.names = shown;
    this.draw();
  }

  get triangles(): number {
    return this.#pieces.reduce((sum, piece) => sum + (piece.object.visible ? piece.triangles : 0), 0);
  }

  /** Goes around the middle by degrees: `turn` counter-clockwise seen from above, `tilt` upwards. */
  orbit(turn: number, tilt: number): void {
    const offset = this.#camera.position.clone().sub(this.#controls.target);
    const radius = offset.length();
    const azimuth = Math.atan2(offset.y, offset.x) + (turn * Math.PI) / 180;
    const limit = (89 * Math.PI) / 180;
    const height = Math.asin(offset.z / radius) + (tilt * Math.PI) / 180;
    const up = Math.max(-limit, Math.min(limit, height));
    offset.set(Math.cos(up) * Math.cos(azimuth), Math.cos(up) * Math.sin(azimuth), Math.sin(up));
    this.#camera.position.copy(this.#controls.target).addScaledVector(offset, radius);
    this.#moved();
  }

  /** Less than 1 comes nearer. */
  zoom(factor: number): void {
    this.#fitted = false;
    this.#camera.position.sub(this.#controls.target).multiplyScalar(factor).add(this.#controls.target);
    this.#moved();
  }

  home(): void {
    this.#fitted = true;
    this.#lookFromHome();
    this.#fit();
    this.#moved();
  }

  #lookFromHome(): void {
    this.#camera.position.copy(this.#controls.target).addScaledVector(this.#homeDirection(), 400);
  }

  get view(): Pick<PreviewView, "offset" | "target" | "fitted"> {
    const offset = this.#camera.position.clone().sub(this.#controls.target);
    return { offset: offset.toArray(), target: this.#controls.target.toArray(), fitted: this.#fitted };
  }

  set view({ offset, target, fitted }: Pick<PreviewView, "offset" | "target" | "fitted">) {
    this.#untouched = false;
    this.#fitted = fitted;
    this.#controls.target.set(...target);
    this.#camera.position.set(...offset).add(this.#controls.target);
    this.#settle();
  }

  /** Draws with the next frame, and calls `after` once that frame has gone to the screen. */
  draw(after?: () => void): void {
    if (after) this.#afterFrame.push(after);
    clearTimeout(this.#still);
    if (this.#software) this.#still = setTimeout(() => this.#render(2), stillAfterMs);
    if (this.#frame !== 0) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#render(this.#software ? 1 : Math.min(2, devicePixelRatio));
      const waiting = this.#afterFrame;
      this.#afterFrame = [];
      if (waiting.length > 0) setTimeout(() => waiting.forEach((call) => call()), 0);
    });
  }

  followTheme(): void {
    const theme = readTheme();
    this.palette.followTheme(theme);
    this.#wheel.followTheme(theme);
    this.#shadow.strength = theme.dark ? 0.9 : 0.55;
    this.draw();
  }

  #render(ratio: number): void {
    if (this.#renderer.getPixelRatio() !== ratio) {
      this.#renderer.setPixelRatio(ratio);
      this.#resizeBuffer();
    }
    this.#camera.updateMatrixWorld();
    this.#renderer.render(this.#scene, this.#camera);
    this.#labels.place(this.#camera, this.#pieces, this.#wheel.labels(this.#camera.position), this.#apart);
  }

  /**
   * From where the first look comes: near the front, turned so far that it goes between two parts
   * drawn apart and not onto the back of one.
   */
  #homeDirection(): Vector3 {
    const ways = this.#pieces
      .flatMap(({ apart }) =>
        apart && Math.hypot(apart.x, apart.y) > 0.3 ? [Math.atan2(apart.y, apart.x)] : [],
      )
      .sort((a, b) => a - b);
    const wanted = (homeAzimuth * Math.PI) / 180;
    const around = (angle: number) => Math.atan2(Math.sin(angle - wanted), Math.cos(angle - wanted));
    const gaps = ways.map((way, i) => {
      const next = i + 1 < ways.length ? ways[i + 1] : ways[0] + 2 * Math.PI;
      return (way + next) / 2;
    });
    const turn = ways.length < 2 ? 0 : Math.min(...gaps.map((gap) => Math.abs(around(gap))));
    const gap = gaps.find((one) => Math.abs(around(one)) === turn);
    const azimuth = gap === undefined ? wanted : gap;
    const height = (homeHeight * Math.PI) / 180;
    return new Vector3(
      Math.cos(height) * Math.cos(azimuth),
      Math.cos(height) * Math.sin(azimuth),
      Math.sin(height),
    );
  }

  #settle(): void {
    this.#seen = arrange(this.#pieces, this.#apart, this.#hidden);
    const reach = this.#seen.isEmpty()
      ? 0
      : Math.max(...[this.#seen.min.x, this.#seen.max.x, this.#seen.min.y, this.#seen.max.y].map(Math.abs));
    this.#wheel.fit(reach, this.#seen.isEmpty() ? 0 : this.#seen.min.z);
    this.#shadow.update(this.#renderer, this.#content, this.#seen);
    this.#fit();
    this.draw();
  }

  /** Keeps the direction of view and takes the distance from which everything is in sight. */
  #fit(): void {
    if (!this.#fitted || this.#seen.isEmpty()) return;
    const center = this.#seen.getCenter(new Vector3());
    const direction = this.#camera.position.clone().sub(this.#controls.target).normalize();
    const camera = this.#camera;
    camera.position.copy(center).add(direction);
    camera.lookAt(center);
    const toEye = camera.quaternion.clone().invert();
    const tanY = Math.tan((camera.fov * Math.PI) / 360) * 0.9;
    const tanX = tanY * camera.aspect;
    let distance = 0;
    for (let i = 0; i < 8; i++) {
      const corner = new Vector3(
        i & 1 ? this.#seen.max.x : this.#seen.min.x,
        i & 2 ? this.#seen.max.y : this.#seen.min.y,
        i & 4 ? this.#seen.max.z : this.#seen.min.z,
      )
        .sub(center)
        .applyQuaternion(toEye);
      distance = Math.max(
        distance,
        corner.z + Math.max(Math.abs(corner.x) / tanX, Math.abs(corner.y) / tanY),
      );
    }
    camera.position.copy(center).addScaledVector(direction, distance);
    camera.near = distance / 50;
    camera.far = distance * 12;
    camera.updateProjectionMatrix();
    this.#controls.target.copy(center);
    this.#controls.minDistance = distance / 20;
    this.#controls.maxDistance = distance * 5;
    this.#controls.update();
  }

  #moved(): void {
    this.#untouched = false;
    this.#controls.update();
    this.draw();
    this.#events.onView();
  }

  #resize(): void {
    this.#resizeBuffer();
    this.#fit();
    this.draw();
  }

  #resizeBuffer(): void {
    const frame = this.#renderer.domElement.parentElement;
    const width = Math.max(1, frame?.clientWidth ?? 1);
    const height = Math.max(1, frame?.clientHeight ?? 1);
    this.#renderer.setSize(width, height);
    this.#camera.aspect = width / height;
    this.#camera.updateProjectionMatrix();
  }
}
