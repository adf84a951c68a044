import { Color, ShaderMaterial, Vector3 } from "three";

/** How a cut surface is hatched, so that materials can be told apart without colour. */
export type Pattern = "dots" | "lines" | "crossed";

/** Distance between hatch lines on the screen, pixels. */
const spacing = 8;

/**
 * Draws a cut through a solid square to `normal`, flat, hatched in the cut's own plane. `turn`
 * tilts the lines, so that neighbours differ. The uniform `pixel` is the size of a pixel in mm.
 */
export function capMaterial(tone: Color, pattern: Pattern, turn: number, normal: Vector3): ShaderMaterial {
  const across = new Vector3(Math.abs(normal.x) > 0.5 ? 0 : 1, Math.abs(normal.x) > 0.5 ? 1 : 0, 0);
  const up = new Vector3().crossVectors(normal, across);
  const angle = ((turn % 2 === 0 ? 45 : -45) + 12 * Math.floor(turn / 2)) * (Math.PI / 180);
  const first = across.clone().multiplyScalar(Math.cos(angle)).addScaledVector(up, Math.sin(angle));
  const second = up.clone().multiplyScalar(Math.cos(angle)).addScaledVector(across, -Math.sin(angle));
  return new ShaderMaterial({
    uniforms: {
      tone: { value: tone },
      ink: { value: tone.clone().multiplyScalar(0.32) },
      first: { value: first },
      second: { value: second },
      pixel: { value: 0.3 },
    },
    vertexShader: /* glsl */ `
      uniform vec3 first;
      uniform vec3 second;
      varying vec2 vPlace;
      void main() {
        vec4 world = modelMatrix * vec4(position, 1.0);
        vPlace = vec2(dot(world.xyz, first), dot(world.xyz, second));
        gl_Position = projectionMatrix * viewMatrix * world;
      }`,
    fragmentShader: /* glsl */ `
      uniform vec3 tone;
      uniform vec3 ink;
      uniform float pixel;
      varying vec2 vPlace;
      /** 1 on a line of the given half width, both in mm. */
      float stroke(float at, float gap, float halfWidth) {
        float away = abs(fract(at / gap + 0.5) - 0.5) * gap;
        return 1.0 - smoothstep(halfWidth - 0.5 * pixel, halfWidth + 0.5 * pixel, away);
      }
      void main() {
        // Powers of two only: while the picture is zoomed the hatching holds still.
        float gap = exp2(floor(log2(${spacing.toFixed(1)} * pixel) + 0.5));
        float mark = 0.0;
        ${marks[pattern]}
        gl_FragColor = vec4(mix(tone, ink, mark), 1.0);
        #include <colorspace_fragment>
      }`,
    polygonOffset: true,
    polygonOffsetFactor: 1,
    polygonOffsetUnits: 1,
  });
}

const marks: Record<Pattern, string> = {
  dots: `
    float row = floor(vPlace.y / gap);
    vec2 cell = vec2(fract(vPlace.x / gap + 0.5 * mod(row, 2.0)), fract(vPlace.y / gap)) - 0.5;
    mark = 0.75 * (1.0 - smoothstep(1.0 * pixel, 2.0 * pixel, length(cell) * gap));`,
  lines: `mark = 0.6 * stroke(vPlace.x, gap, 0.6 * pixel);`,
  crossed: `mark = 0.5 * max(stroke(vPlace.x, gap, 0.5 * pixel), stroke(vPlace.y, gap, 0.5 * pixel));`,
};
