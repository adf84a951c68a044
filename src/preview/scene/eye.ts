import { Box3, PerspectiveCamera, Vector3 } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import type { PreviewView } from "../../../shared/preview.ts";
import type { Piece } from "./piece.ts";

/** The first look comes from the front, a little from the right and from above; degrees. */
const homeAzimuth = -58;
const homeHeight = 25;

export type Look = Pick<PreviewView, "offset" | "target" | "fitted">;

export interface EyeEvents {
  /** The picture must be drawn again. */
  onChange(): void;
  /** The view was changed by hand. */
  onView(): void;
}

/** The camera and what moves it: around the piece by hand, and to where everything is in sight. */
export class Eye {
  readonly camera = new PerspectiveCamera(26, 1, 1, 10_000);
  readonly #controls: OrbitControls;
  readonly #events: EyeEvents;
  #sight = new Box3();
  /** Everything is kept in sight until the maker zooms or shifts the view by hand. */
  #fitted = true;
  /** Nobody has chosen a view yet. */
  #untouched = true;
  #quiet = false;

  constructor(canvas: HTMLCanvasElement, events: EyeEvents) {
    this.#events = events;
    this.camera.up.set(0, 0, 1);
    this.camera.position.copy(homeDirection([])).multiplyScalar(400);
    const controls = new OrbitControls(this.camera, canvas);
    controls.enableDamping = false;
    controls.zoomToCursor = true;
    controls.rotateSpeed = 0.8;
    controls.addEventListener("change", () => {
      if (!this.#quiet) events.onChange();
    });
    let before = controls.getDistance();
    const target = new Vector3();
    controls.addEventListener("start", () => {
      this.#untouched = false;
      before = controls.getDistance();
      target.copy(controls.target);
    });
    controls.addEventListener("end", () => {
      const moved = target.distanceTo(controls.target) > 1e-3;
      if (moved || Math.abs(controls.getDistance() - before) > 1e-3) this.#fitted = false;
      events.onView();
    });
    this.#controls = controls;
  }

  /** What to look at: `sight` is kept in the picture; an untouched view comes from between the `pieces`' ways. */
  look(pieces: readonly Piece[], sight: Box3): void {
    if (this.#untouched && pieces.length > 0) this.#goHome(pieces);
    this.#sight = sight;
    this.fit();
  }

  /** Goes around the middle by degrees: `turn` counter-clockwise seen from above, `tilt` upwards. */
  orbit(turn: number, tilt: number): void {
    const offset = this.#offset();
    const radius = offset.length();
    const azimuth = Math.atan2(offset.y, offset.x) + (turn * Math.PI) / 180;
    const limit = (89 * Math.PI) / 180;
    const height = Math.asin(offset.z / radius) + (tilt * Math.PI) / 180;
    const up = Math.max(-limit, Math.min(limit, height));
    offset.set(Math.cos(up) * Math.cos(azimuth), Math.cos(up) * Math.sin(azimuth), Math.sin(up));
    this.camera.position.copy(this.#controls.target).addScaledVector(offset, radius);
    this.#moved();
  }

  /** Less than 1 comes nearer. */
  zoom(factor: number): void {
    this.#fitted = false;
    const offset = this.#offset();
    const { minDistance, maxDistance, target } = this.#controls;
    const distance = Math.max(minDistance, Math.min(maxDistance, offset.length() * factor));
    this.camera.position.copy(target).addScaledVector(offset.normalize(), distance);
    this.#moved();
  }

  /** Back to the first look. */
  home(pieces: readonly Piece[]): void {
    this.#fitted = true;
    this.#goHome(pieces);
    this.fit();
    this.#moved();
  }

  get view(): Look {
    return {
      offset: this.#offset().toArray(),
      target: this.#controls.target.toArray(),
      fitted: this.#fitted,
    };
  }

  set view({ offset, target, fitted }: Look) {
    this.#untouched = false;
    this.#fitted = fitted;
    this.#controls.target.set(...target);
    this.camera.position.set(...offset).add(this.#controls.target);
    this.#turnToTarget();
    this.fit();
  }

  set aspect(aspect: number) {
    this.camera.aspect = aspect;
    this.camera.updateProjectionMatrix();
  }

  /** Keeps the direction of view and takes the distance from which everything is in sight. Tells nobody. */
  fit(): void {
    if (!this.#fitted || this.#sight.isEmpty()) return;
    const { camera } = this;
    const center = this.#sight.getCenter(new Vector3());
    const direction = this.#offset().normalize();
    camera.position.copy(center).add(direction);
    camera.lookAt(center);
    const toEye = camera.quaternion.clone().invert();
    const tanY = Math.tan((camera.fov * Math.PI) / 360) * 0.9;
    const tanX = tanY * camera.aspect;
    let distance = 0;
    for (const corner of cornersOf(this.#sight)) {
      corner.sub(center).applyQuaternion(toEye);
      const away = Math.max(Math.abs(corner.x) / tanX, Math.abs(corner.y) / tanY);
      distance = Math.max(distance, corner.z + away);
    }
    camera.position.copy(center).addScaledVector(direction, distance);
    this.#controls.target.copy(center);
    this.#controls.minDistance = distance / 20;
    this.#controls.maxDistance = distance * 5;
    this.#turnToTarget();
  }

  /**
   * Puts the near and far planes closely around `everything`: a solid that the near plane cuts
   * would be drawn open.
   */
  focus(everything: Box3): void {
    const { camera } = this;
    const forward = camera.getWorldDirection(new Vector3());
    const depths = cornersOf(everything).map((corner) => corner.sub(camera.position).dot(forward));
    const far = Math.max(...depths, 1) * 1.05;
    camera.far = far;
    camera.near = Math.max(Math.min(...depths) * 0.95, far / 2000);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  #offset(): Vector3 {
    return this.camera.position.clone().sub(this.#controls.target);
  }

  /** Tells nobody. */
  #turnToTarget(): void {
    this.#quiet = true;
    this.#controls.update();
    this.#quiet = false;
  }

  #goHome(pieces: readonly Piece[]): void {
    this.camera.position.copy(this.#controls.target).addScaledVector(homeDirection(pieces), 400);
  }

  #moved(): void {
    this.#untouched = false;
    this.#controls.update();
    this.#events.onChange();
    this.#events.onView();
  }
}

/** The first look goes so far beside the middle of a gap between parts, as a share of the gap. */
const besideGap = 0.11;

/**
 * The side from which the first look comes, radians counter-clockwise from +x: near the front, turned
 * so far that it goes between two parts drawn apart and not onto the back of one, and a little beside
 * the middle between them, so that the depth of things is seen.
 */
export function homeSide(pieces: readonly Pick<Piece, "apart">[]): number {
  const ways = pieces
    .flatMap(({ apart }) =>
      apart && Math.hypot(apart.x, apart.y) > 0.3 ? [Math.atan2(apart.y, apart.x)] : [],
    )
    .sort((a, b) => a - b);
  const wanted = (homeAzimuth * Math.PI) / 180;
  if (ways.length < 2) return wanted;
  const turnTo = (angle: number) => Math.atan2(Math.sin(wanted - angle), Math.cos(wanted - angle));
  const gaps = ways.map((way, i) => {
    const next = i + 1 < ways.length ? ways[i + 1] : ways[0] + 2 * Math.PI;
    return { middle: (way + next) / 2, width: next - way };
  });
  const { middle, width } = gaps.reduce((best, gap) =>
    Math.abs(turnTo(gap.middle)) < Math.abs(turnTo(best.middle)) - 1e-9 ? gap : best,
  );
  const most = besideGap * width;
  return middle + Math.max(-most, Math.min(most, turnTo(middle)));
}

function homeDirection(pieces: readonly Piece[]): Vector3 {
  const side = homeSide(pieces);
  const height = (homeHeight * Math.PI) / 180;
  return new Vector3(Math.cos(height) * Math.cos(side), Math.cos(height) * Math.sin(side), Math.sin(height));
}

export function cornersOf({ min, max }: Box3): Vector3[] {
  return Array.from(
    { length: 8 },
    (_, i) => new Vector3(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z),
  );
}
