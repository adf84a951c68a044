import {
  BufferAttribute,
  BufferGeometry,
  CircleGeometry,
  Color,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  Vector3,
} from "three";
import type { Theme } from "./palette.ts";

/**
 * The ground: a banding wheel seen from above, with a ring every 10 mm, a stronger one every 50 mm
 * and two rulers through the middle. Rings are circles around the vessel's axis, so their labels
 * are radii.
 */
export class Wheel {
  readonly object = new Group();
  readonly #disc = new MeshBasicMaterial({ vertexColors: true, transparent: true, depthWrite: false });
  readonly #thin = new LineBasicMaterial({ transparent: true, opacity: 0.12, depthWrite: false });
  readonly #strong = new LineBasicMaterial({ transparent: true, opacity: 0.3, depthWrite: false });
  #radius = 0;
  #tint = 1;

  /** Outer radius, mm: whole 50s. */
  get radius(): number {
    return this.#radius;
  }

  /** Makes room for things `reach` mm from the axis and lies down at height `z`. */
  fit(reach: number, z: number): void {
    this.object.position.z = z - 0.05;
    const radius = Math.max(100, Math.ceil((reach + 15) / 50) * 50);
    if (radius === this.#radius) return;
    this.#radius = radius;
    this.#build();
  }

  followTheme(theme: Theme): void {
    this.#thin.color.copy(theme.foreground);
    this.#strong.color.copy(theme.foreground);
    this.#thin.opacity = theme.highContrast ? 0.35 : 0.12;
    this.#strong.opacity = theme.highContrast ? 0.9 : 0.32;
    this.#tint = theme.dark ? 1 : 0;
    if (this.#radius > 0) this.#build();
  }

  /** Where ring labels go on the side towards the camera, with their text. Mold frame. */
  labels(camera: Vector3): { at: Vector3; text: string }[] {
    const sides = [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ];
    // Tools lie to the right of the first look: the ruler that points to the left front is the least covered.
    const facing = Math.atan2(camera.y, camera.x) - Math.PI / 5;
    const side = sides.reduce((best, one) =>
      one[0] * Math.cos(facing) + one[1] * Math.sin(facing) >
      best[0] * Math.cos(facing) + best[1] * Math.sin(facing)
        ? one
        : best,
    );
    const labels = [];
    for (let r = 50; r <= this.#radius; r += 50) {
      labels.push({
        at: new Vector3(side[0] * r, side[1] * r, this.object.position.z),
        text: r === this.#radius ? `${r} mm` : String(r),
      });
    }
    return labels;
  }

  #build(): void {
    for (const child of [...this.object.children]) {
      (child as Mesh).geometry.dispose();
      this.object.remove(child);
    }
    const disc = new CircleGeometry(this.#radius + 8, 96);
    const tint = new Color(this.#tint, this.#tint, this.#tint);
    const colors = new Float32Array(disc.attributes.position.count * 4);
    for (let i = 0; i < colors.length / 4; i++)
      colors.set([tint.r, tint.g, tint.b, i === 0 ? 0.09 : 0.045], 4 * i);
    disc.setAttribute("color", new BufferAttribute(colors, 4));
    const plate = new Mesh(disc, this.#disc);
    plate.position.z = -0.2;
    plate.renderOrder = -3;
    this.object.add(plate);

    const thin: number[] = [];
    const strong: number[] = [];
    for (let r = 10; r <= this.#radius; r += 10) circle(r % 50 === 0 ? strong : thin, r);
    for (let d = 10; d <= this.#radius; d += 10) {
      const half = d % 50 === 0 ? 3 : 1.5;
      strong.push(d, -half, 0, d, half, 0, -d, -half, 0, -d, half, 0);
      strong.push(-half, d, 0, half, d, 0, -half, -d, 0, half, -d, 0);
    }
    strong.push(-this.#radius, 0, 0, this.#radius, 0, 0, 0, -this.#radius, 0, 0, this.#radius, 0);
    for (const [points, material] of [
      [thin, this.#thin],
      [strong, this.#strong],
    ] as const) {
      const lines = new LineSegments(
        new BufferGeometry().setAttribute("position", new Float32BufferAttribute(points, 3)),
        material,
      );
      lines.renderOrder = -2;
      this.object.add(lines);
    }
  }
}

function circle(into: number[], radius: number): void {
  const steps = 96;
  for (let i = 0; i < steps; i++) {
    for (const k of [i, i + 1]) {
      const angle = (2 * Math.PI * k) / steps;
      into.push(radius * Math.cos(angle), radius * Math.sin(angle), 0);
    }
  }
}
