import {
  Color,
  CustomBlending,
  DoubleSide,
  MaxEquation,
  Mesh,
  OneFactor,
  OrthographicCamera,
  PlaneGeometry,
  Scene,
  ShaderMaterial,
  WebGLRenderTarget,
  type Box3,
  type Object3D,
  type Plane,
  type Texture,
  type WebGLRenderer,
} from "three";

/** Texels on a side: the blur leaves nothing finer. */
const size = 128;

/** Dark where something stands close above the ground, fading over the given height, mm. */
const footprint = new ShaderMaterial({
  uniforms: { ground: { value: 0 }, fade: { value: 60 } },
  vertexShader: /* glsl */ `
    #include <clipping_planes_pars_vertex>
    varying float vHeight;
    void main() {
      vec4 world = modelMatrix * vec4(position, 1.0);
      vec4 mvPosition = viewMatrix * world;
      vHeight = world.z;
      gl_Position = projectionMatrix * mvPosition;
      #include <clipping_planes_vertex>
    }`,
  fragmentShader: /* glsl */ `
    #include <clipping_planes_pars_fragment>
    uniform float ground;
    uniform float fade;
    varying float vHeight;
    void main() {
      #include <clipping_planes_fragment>
      float close = clamp(1.0 - (vHeight - ground) / fade, 0.0, 1.0);
      gl_FragColor = vec4(vec3(close * close), 1.0);
    }`,
  // Seen from above through everything: the lowest point above each place counts.
  side: DoubleSide,
  depthTest: false,
  clipping: true,
  blending: CustomBlending,
  blendEquation: MaxEquation,
  blendSrc: OneFactor,
  blendDst: OneFactor,
});

/** One pass of a blur along `step`. */
const blur = new ShaderMaterial({
  uniforms: { source: { value: null as Texture | null }, step: { value: [0, 0] } },
  vertexShader: /* glsl */ `
    varying vec2 vUv;
    void main() { vUv = uv; gl_Position = vec4(position.xy, 0.0, 1.0); }`,
  fragmentShader: /* glsl */ `
    uniform sampler2D source;
    uniform vec2 step;
    varying vec2 vUv;
    void main() {
      float sum = 0.0;
      float weight = 0.0;
      for (int i = -4; i <= 4; i++) {
        float w = exp(-float(i * i) / 7.0);
        sum += w * texture2D(source, vUv + float(i) * step).r;
        weight += w;
      }
      gl_FragColor = vec4(vec3(sum / weight), 1.0);
    }`,
  depthTest: false,
  depthWrite: false,
});

/**
 * The soft shadow under everything that stands on the ground: how low things hang over each place, blurred;
 * worked out when pieces move and not when the camera does.
 */
export class Shadow {
  readonly object: Mesh;
  readonly #from = new WebGLRenderTarget(size, size);
  readonly #to = new WebGLRenderTarget(size, size);
  readonly #material: ShaderMaterial;
  readonly #screen = new Scene();
  readonly #camera = new OrthographicCamera();

  constructor() {
    this.#material = new ShaderMaterial({
      uniforms: { source: { value: this.#from.texture }, strength: { value: 0.5 } },
      vertexShader: /* glsl */ `
        varying vec2 vUv;
        void main() { vUv = uv; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`,
      fragmentShader: /* glsl */ `
        uniform sampler2D source;
        uniform float strength;
        varying vec2 vUv;
        void main() { gl_FragColor = vec4(0.0, 0.0, 0.0, strength * texture2D(source, vUv).r); }`,
      transparent: true,
      depthWrite: false,
    });
    this.object = new Mesh(new PlaneGeometry(1, 1), this.#material);
    this.object.renderOrder = -1;
    const quad = new Mesh(new PlaneGeometry(2, 2), blur);
    quad.frustumCulled = false;
    this.#screen.add(quad);
  }

  set strength(value: number) {
    this.#material.uniforms.strength.value = value;
  }

  /** What lies behind one of the planes throws no shadow. */
  cutBy(planes: Plane[]): void {
    footprint.clippingPlanes = planes;
  }

  /** Works the shadow out for `content` standing in `box`; nothing but pieces may be in `content`. */
  update(renderer: WebGLRenderer, content: Object3D, box: Box3): void {
    this.object.visible = !box.isEmpty();
    if (box.isEmpty()) return;
    const center = [(box.min.x + box.max.x) / 2, (box.min.y + box.max.y) / 2];
    const half = Math.max(box.max.x - box.min.x, box.max.y - box.min.y) / 2 + 24;
    this.object.scale.set(2 * half, 2 * half, 1);
    this.object.position.set(center[0], center[1], box.min.z - 0.04);

    const camera = this.#camera;
    camera.left = camera.bottom = -half;
    camera.right = camera.top = half;
    camera.near = 0;
    camera.far = box.max.z - box.min.z + 10;
    camera.position.set(center[0], center[1], box.max.z + 5);
    camera.rotation.set(0, 0, 0);
    camera.updateProjectionMatrix();

    footprint.uniforms.ground.value = box.min.z;
    footprint.uniforms.fade.value = Math.max(12, 0.35 * (box.max.z - box.min.z));
    const scene = new Scene();
    scene.overrideMaterial = footprint;
    const parent = content.parent;
    const edges: Object3D[] = [];
    content.traverse((object) => {
      if (object.userData.edges === true && object.visible) edges.push(object);
    });
    for (const object of edges) object.visible = false;
    scene.add(content);
    const clear = renderer.getClearColor(new Color());
    const alpha = renderer.getClearAlpha();
    renderer.setClearColor(0x000000, 1);
    renderer.setRenderTarget(this.#from);
    renderer.clear();
    renderer.render(scene, camera);
    for (let round = 0; round < 2; round++) {
      const reach = (1 << round) / size;
      this.#pass(renderer, this.#from, this.#to, [reach, 0]);
      this.#pass(renderer, this.#to, this.#from, [0, reach]);
    }
    renderer.setRenderTarget(null);
    renderer.setClearColor(clear, alpha);
    for (const object of edges) object.visible = true;
    parent?.add(content);
  }

  #pass(renderer: WebGLRenderer, from: WebGLRenderTarget, to: WebGLRenderTarget, step: number[]): void {
    blur.uniforms.source.value = from.texture;
    blur.uniforms.step.value = step;
    renderer.setRenderTarget(to);
    renderer.render(this.#screen, this.#camera);
  }
}
