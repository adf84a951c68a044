/**
 * Draws a still of solids on a table with the light of a window and of the room, by adding up many
 * pictures with hard shadows, each with its light and its eye moved a little. Runs in a web page.
 */
import * as THREE from "three";
import { toCreasedNormals } from "three/addons/utils/BufferGeometryUtils.js";
import type { Material, Still, StillSolid } from "./still.ts";

const SHADOW_PIXELS = 2048;
const QUALITY = 0.86;
const CREASE = (25 * Math.PI) / 180;

declare global {
  interface Window {
    drawStill: (still: Still) => Promise<string>;
  }
}

/** Fraction i of a sequence that fills 0…1 evenly, in base 2 or 3. */
function even(i: number, base: number): number {
  let value = 0;
  for (let f = 1 / base; i > 0; i = Math.floor(i / base), f /= base) value += (i % base) * f;
  return value;
}

function fromBase64<T>(text: string, make: (buffer: ArrayBuffer) => T): T {
  return make(Uint8Array.from(atob(text), (character) => character.charCodeAt(0)).buffer);
}

function geometryOf(solid: StillSolid): THREE.BufferGeometry {
  const geometry = new THREE.BufferGeometry();
  geometry.setAttribute(
    "position",
    new THREE.BufferAttribute(
      fromBase64(solid.positions, (b) => new Float32Array(b)),
      3,
    ),
  );
  geometry.setIndex(
    new THREE.BufferAttribute(
      fromBase64(solid.triangles, (b) => new Uint32Array(b)),
      1,
    ),
  );
  return toCreasedNormals(geometry, CREASE);
}

/** Value noise in the shader: nothing is of one colour, nor quite even. */
const NOISE = `
varying vec3 vPlace;
float hash(vec3 p) { p = fract(p * 0.3183099 + 0.1); p *= 17.0; return fract(p.x * p.y * p.z * (p.x + p.y + p.z)); }
float noise(vec3 x) {
  vec3 i = floor(x), f = fract(x); f = f * f * (3.0 - 2.0 * f);
  return mix(mix(mix(hash(i), hash(i + vec3(1, 0, 0)), f.x), mix(hash(i + vec3(0, 1, 0)), hash(i + vec3(1, 1, 0)), f.x), f.y),
    mix(mix(hash(i + vec3(0, 0, 1)), hash(i + vec3(1, 0, 1)), f.x), mix(hash(i + vec3(0, 1, 1)), hash(i + vec3(1, 1, 1)), f.x), f.y), f.z);
}
vec3 bumped(vec3 at, vec3 n, float h) {
  vec3 x = dFdx(at), y = dFdy(at);
  vec3 r = cross(y, n), q = cross(n, x);
  float d = dot(x, r);
  return normalize(abs(d) * n - sign(d) * (dFdx(h) * r + dFdy(h) * q));
}
`;

interface Finish {
  roughness: number;
  /** Factor of the colour and height in mm at `vPlace`, in the shader's language. */
  shade: string;
  height: string;
}

const FINISHES: Readonly<Record<Material | "table", Finish>> = {
  clay: {
    roughness: 0.86,
    shade:
      "1.0 + 0.28 * (0.5 * noise(vPlace * 0.09) + 0.5 * noise(vPlace * 0.5) - 0.5) - 0.22 * smoothstep(0.8, 0.9, noise(vPlace * 2.3))",
    height: "0.5 * noise(vPlace * 0.13) + 0.05 * noise(vPlace * 0.9)",
  },
  plastic: {
    roughness: 0.42,
    shade:
      "1.0 + 0.07 * (noise(vec3(0.5, 0.5, vPlace.z * 1.7)) - 0.5) + 0.05 * (noise(vec3(0.5, 7.5, vPlace.z * 0.31)) - 0.5)",
    height: "0.035 * noise(vec3(0.5, 0.5, vPlace.z * 1.7))",
  },
  table: {
    roughness: 0.95,
    shade:
      "1.0 + 0.05 * (noise(vPlace * 0.015) - 0.5) + 0.05 * (noise(vPlace * 0.12) - 0.5) + 0.09 * (noise(vPlace * vec3(1.1, 0.35, 1.0)) - 0.5)",
    height: "0.05 * noise(vPlace * vec3(1.1, 0.35, 1.0))",
  },
};

function materialOf(color: number, { roughness, shade, height }: Finish): THREE.MeshStandardMaterial {
  const material = new THREE.MeshStandardMaterial({ color, roughness, metalness: 0, side: THREE.DoubleSide });
  material.onBeforeCompile = (shader) => {
    shader.vertexShader = `varying vec3 vPlace;\n${shader.vertexShader}`.replace(
      "#include <begin_vertex>",
      "#include <begin_vertex>\nvPlace = position;",
    );
    shader.fragmentShader = `${NOISE}\n${shader.fragmentShader}`
      .replace("#include <color_fragment>", `#include <color_fragment>\ndiffuseColor.rgb *= ${shade};`)
      .replace(
        "#include <normal_fragment_maps>",
        `#include <normal_fragment_maps>\nnormal = bumped(-vViewPosition, normal, ${height});`,
      );
  };
  material.customProgramCacheKey = () => shade;
  return material;
}

window.drawStill = async (still) => {
  const { width, height, passes } = still;
  THREE.Object3D.DEFAULT_UP.set(0, 0, 1);
  const renderer = new THREE.WebGLRenderer({ antialias: false, preserveDrawingBuffer: true });
  renderer.setSize(width, height, false);
  renderer.shadowMap.enabled = true;
  renderer.shadowMap.type = THREE.BasicShadowMap;
  renderer.toneMapping = THREE.NoToneMapping;

  const scene = new THREE.Scene();
  scene.background = new THREE.Color(still.table);
  for (const solid of still.solids) {
    const mesh = new THREE.Mesh(geometryOf(solid), materialOf(solid.color, FINISHES[solid.material]));
    mesh.matrix.fromArray(solid.place);
    mesh.matrixAutoUpdate = false;
    mesh.castShadow = mesh.receiveShadow = true;
    scene.add(mesh);
  }
  const table = new THREE.Mesh(new THREE.PlaneGeometry(6000, 6000), materialOf(still.table, FINISHES.table));
  table.receiveShadow = true;
  scene.add(table);
  // What the table throws back up.
  scene.add(new THREE.HemisphereLight(0x000000, still.table, 0.55));

  const light = (color: number, reach: number) => {
    const made = new THREE.DirectionalLight(color, 0);
    made.castShadow = true;
    made.shadow.mapSize.set(SHADOW_PIXELS, SHADOW_PIXELS);
    made.shadow.bias = -0.0006;
    made.shadow.normalBias = 0.35;
    Object.assign(made.shadow.camera, {
      left: -reach,
      right: reach,
      top: reach,
      bottom: -reach,
      near: 10,
      far: 2400,
    });
    scene.add(made, made.target);
    made.target.position.set(...still.lookAt);
    return made;
  };
  const window_ = light(0xfff0dc, still.reach);
  const room = light(0xe4edf7, still.reach);

  const camera = new THREE.PerspectiveCamera(still.fieldOfView, width / height, 10, 6000);
  camera.position.set(...still.eye);
  camera.lookAt(new THREE.Vector3(...still.lookAt));
  camera.updateMatrixWorld();
  const eye = camera.position.clone();
  const right = new THREE.Vector3().setFromMatrixColumn(camera.matrixWorld, 0);
  const above = new THREE.Vector3().setFromMatrixColumn(camera.matrixWorld, 1);
  /** Pixels to a mm where the picture is sharp. */
  const pixels =
    height /
    (2 * Math.tan((still.fieldOfView * Math.PI) / 360) * eye.distanceTo(new THREE.Vector3(...still.lookAt)));

  const target = () =>
    new THREE.WebGLRenderTarget(width, height, {
      type: THREE.FloatType,
      depthBuffer: true,
      colorSpace: THREE.LinearSRGBColorSpace,
    });
  const pass = target();
  let sum = target();
  let next = target();
  const full = (fragmentShader: string, uniforms: Record<string, THREE.IUniform>) => {
    const material = new THREE.ShaderMaterial({
      uniforms,
      vertexShader: "varying vec2 at; void main() { at = uv; gl_Position = vec4(position.xy, 0.0, 1.0); }",
      fragmentShader,
      depthTest: false,
      depthWrite: false,
      toneMapped: false,
    });
    const quad = new THREE.Mesh(new THREE.PlaneGeometry(2, 2), material);
    quad.frustumCulled = false;
    return { scene: new THREE.Scene().add(quad), material };
  };
  const add = full(
    "uniform sampler2D a, b; varying vec2 at; void main() { gl_FragColor = vec4(texture2D(a, at).rgb + texture2D(b, at).rgb, 1.0); }",
    { a: { value: null }, b: { value: pass.texture } },
  );
  const flat = new THREE.Camera();

  const toWindow = new THREE.Vector3(...still.window).normalize();
  const across = new THREE.Vector3().crossVectors(toWindow, new THREE.Vector3(0, 0, 1)).normalize();
  const along = new THREE.Vector3().crossVectors(across, toWindow);
  const looked = new THREE.Vector3(...still.lookAt);
  for (let i = 0; i < passes; i++) {
    const [u, v] = [even(i + 1, 2), even(i + 1, 3)];
    const [s, w] = [even(i + 1, 5), even(i + 1, 7)];
    // The window: a disc in one direction.
    const r = Math.sqrt(u) * still.windowSize;
    const angle = 2 * Math.PI * v;
    window_.position
      .copy(toWindow)
      .addScaledVector(across, r * Math.cos(angle))
      .addScaledVector(along, r * Math.sin(angle))
      .normalize()
      .multiplyScalar(1200)
      .add(looked);
    window_.intensity = 2.1;
    // The room: the half of all directions that looks up, each as likely as another.
    const up = 0.02 + 0.98 * s;
    const flatness = Math.sqrt(1 - up * up);
    room.position
      .set(flatness * Math.cos(2 * Math.PI * w), flatness * Math.sin(2 * Math.PI * w), up)
      .multiplyScalar(1200)
      .add(looked);
    room.intensity = 3;
    // A point of the lens; the view is shifted so that what is looked at stays where it is.
    const lensRadius = Math.sqrt(even(i + 1, 17)) * still.lens;
    const lensAngle = 2 * Math.PI * even(i + 1, 19);
    const [lensX, lensY] = [lensRadius * Math.cos(lensAngle), lensRadius * Math.sin(lensAngle)];
    camera.position.copy(eye).addScaledVector(right, lensX).addScaledVector(above, lensY);
    camera.setViewOffset(
      width,
      height,
      even(i + 1, 11) - 0.5 - lensX * pixels,
      even(i + 1, 13) - 0.5 + lensY * pixels,
      width,
      height,
    );
    renderer.setRenderTarget(pass);
    renderer.render(scene, camera);
    add.material.uniforms["a"].value = sum.texture;
    renderer.setRenderTarget(next);
    renderer.render(add.scene, flat);
    [sum, next] = [next, sum];
    // Lets the page answer between pictures.
    if (i % 8 === 0) await new Promise((resolve) => setTimeout(resolve));
  }

  const develop = full(
    `uniform sampler2D sum; uniform float share; varying vec2 at;
    void main() {
      vec3 c = texture2D(sum, at).rgb * share;
      vec2 off = at - vec2(0.5, 0.52);
      c *= 1.0 - 0.3 * smoothstep(0.12, 0.75, dot(off, off) * 1.6);
      c = c * 1.35;
      c = c * (1.0 + c / 7.0) / (1.0 + c * 0.62);
      c = mix(12.92 * c, 1.055 * pow(max(c, vec3(0.0)), vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c));
      gl_FragColor = vec4(clamp(c, 0.0, 1.0), 1.0);
    }`,
    { sum: { value: sum.texture }, share: { value: 1 / passes } },
  );
  renderer.setRenderTarget(null);
  renderer.render(develop.scene, flat);
  return renderer.domElement.toDataURL("image/webp", QUALITY);
};
