import { Color, Group, Mesh, ShaderMaterial, type Plane } from "three";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";
import type { Theme } from "./palette.ts";
import type { Piece } from "./piece.ts";
import type { Shape } from "./shape.ts";

/** Brighter than clay and plastic, and of neither's hue. */
const lit = 0xffd23e;
const darkLine = 0x2a2410;

/** Faces lit because code or pointer is at what made them: striped and outlined, not only tinted. */
export class Light {
  readonly #uniforms = { color: { value: new Color(lit) }, ratio: { value: 1 }, between: { value: 0.3 } };
  readonly #faces = new ShaderMaterial({
    uniforms: this.#uniforms,
    vertexShader: /* glsl */ `
      #include <clipping_planes_pars_vertex>
      void main() {
        vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
        gl_Position = projectionMatrix * mvPosition;
        #include <clipping_planes_vertex>
      }`,
    fragmentShader: /* glsl */ `
      #include <clipping_planes_pars_fragment>
      uniform vec3 color;
      uniform float ratio;
      uniform float between;
      void main() {
        #include <clipping_planes_fragment>
        float at = (gl_FragCoord.x - gl_FragCoord.y) / (10.0 * ratio);
        float away = abs(fract(at) - 0.5) * 10.0;
        float stripe = 1.0 - smoothstep(1.1, 1.9, away);
        gl_FragColor = vec4(color, mix(between, 0.8, stripe));
        #include <colorspace_fragment>
      }`,
    transparent: true,
    depthWrite: false,
    clipping: true,
    polygonOffset: true,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -1,
  });
  /** A bright line in a dark one: it is seen on clay, on plastic and on any ground. */
  readonly #lines = [
    new LineMaterial({ linewidth: 4.2, color: darkLine, clipping: true }),
    new LineMaterial({ linewidth: 2.2, color: lit, clipping: true }),
  ];
  #shown: Group[] = [];

  /** Lights the faces that `calls` made, of `on` alone if it is given. */
  update(pieces: readonly Piece[], calls: ReadonlySet<number>, on: Piece | undefined): void {
    for (const group of this.#shown) {
      group.removeFromParent();
      for (const child of group.children) if (child instanceof LineSegments2) child.geometry.dispose();
    }
    this.#shown = [];
    if (calls.size === 0) return;
    for (const piece of pieces) {
      if (on && piece !== on) continue;
      const runs = piece.shape.runs.filter(({ call }) => calls.has(call));
      if (runs.length === 0) continue;
      const group = new Group();
      group.userData.edges = true;
      const again = piece.shape.again;
      again.clearGroups();
      for (const { start, count } of runs) again.addGroup(3 * start, 3 * count, 0);
      const faces = new Mesh(again, [this.#faces]);
      faces.renderOrder = 2;
      const border = new LineSegmentsGeometry();
      border.setPositions(borderOf(piece.shape, runs));
      group.add(faces);
      this.#lines.forEach((material, i) => {
        const line = new LineSegments2(border, material);
        line.renderOrder = 3 + i;
        group.add(line);
      });
      piece.object.add(group);
      this.#shown.push(group);
    }
  }

  cutBy(planes: Plane[]): void {
    this.#faces.clippingPlanes = planes;
    for (const line of this.#lines) line.clippingPlanes = planes;
  }

  /** `ratio` is the number of drawn pixels to one of the page. */
  set ratio(ratio: number) {
    this.#uniforms.ratio.value = ratio;
  }

  followTheme(theme: Theme): void {
    this.#uniforms.between.value = theme.highContrast ? 0.15 : 0.3;
  }
}

/** Edges that only one of the lit triangles has: pairs of points, xyz. */
function borderOf(
  { points, triangles }: Shape,
  runs: readonly { start: number; count: number }[],
): Float32Array {
  const vertices = points.length / 3;
  const edges = new Set<number>();
  for (const { start, count } of runs) {
    for (let f = 3 * start; f < 3 * (start + count); f += 3) {
      for (let k = 0; k < 3; k++) {
        const from = triangles[f + k];
        const to = triangles[f + ((k + 1) % 3)];
        if (!edges.delete(to * vertices + from)) edges.add(from * vertices + to);
      }
    }
  }
  const border = new Float32Array(6 * edges.size);
  let next = 0;
  for (const edge of edges) {
    for (const vertex of [Math.floor(edge / vertices), edge % vertices]) {
      border.set(points.subarray(3 * vertex, 3 * vertex + 3), next);
      next += 3;
    }
  }
  return border;
}
