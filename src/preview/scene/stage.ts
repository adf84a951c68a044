import {
  Box3,
  DirectionalLight,
  Group,
  HemisphereLight,
  Raycaster,
  Scene,
  Vector2,
  Vector3,
  WebGLRenderer,
} from "three";
import type { PreviewDimension } from "../../../shared/preview.ts";
import { arrange, kindOf, type Kind } from "./arrange.ts";
import { Dimensions, type DimensionMode } from "./dimensions.ts";
import { Eye, homeSide, type Look } from "./eye.ts";
import { Labels } from "./labels.ts";
import { Light } from "./light.ts";
import { Marks, type Mark } from "./marks.ts";
import { apartOffsets, openingOffsets, type Move } from "./opening.ts";
import { Palette, readTheme } from "./palette.ts";
import { firstHit } from "./picker.ts";
import type { Piece } from "./piece.ts";
import { watchPointer, type Aim } from "./pointer.ts";
import { Section, type SectionCut } from "./section.ts";
import { Shadow } from "./shadow.ts";
import { Still } from "./still.ts";
import { Wheel } from "./wheel.ts";

/** Longer than most pauses between two keys: what comes then takes a slow renderer a while. */
const stillAfterMs = 400;
/** Drawn pixels that a picture has at most. */
const mostPixels = 9e6;

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
  /**
   * A click on the faces that `call` made, -1 where no call is known; `label` names the faces, such
   * as `flange`. On a cut the call is the one that made most of the piece.
   */
  onPick?(call: number, piece: Piece, label: string): void;
  /** The pointer rests on faces that `call` made; null when it is on nothing. Told when it changes. */
  onHover?(call: number | null, piece?: Piece, label?: string): void;
  /** A click on the badge of the finding at `index`. */
  onMark?(index: number): void;
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
  readonly #section = new Section(this.palette);
  readonly #light = new Light();
  readonly #eye: Eye;
  readonly #labels: Labels;
  readonly #marks: Marks;
  readonly #dimensions: Dimensions;
  readonly #events: StageEvents;
  readonly #software = drawsInSoftware();
  #pieces: readonly Piece[] = [];
  #moves: readonly Move[] = [];
  /** What is in sight: clay and mold, and everything. */
  #seen = { mold: new Box3(), all: new Box3() };
  #apart = 0;
  #opening: number | null = null;
  #cut: SectionCut | null = null;
  #lit: { calls: ReadonlySet<number>; on: Piece | undefined } = { calls: new Set(), on: undefined };
  #hover = "";
  #hidden: ReadonlySet<Kind> = new Set();
  /** Pieces are not yet where they belong. */
  #unsettled = false;
  #frame = 0;
  readonly #still: Still | undefined;
  #restTimer: ReturnType<typeof setTimeout> | undefined;
  #working = false;
  #afterFrame: (() => void)[] = [];

  constructor(canvas: HTMLCanvasElement, overlay: HTMLElement, events: StageEvents) {
    this.#events = events;
    this.#renderer = new WebGLRenderer({ canvas, antialias: !this.#software, alpha: true, stencil: true });
    this.#renderer.setClearColor(0x000000, 0);
    this.#renderer.localClippingEnabled = true;
    this.#still = this.#software ? new Still(canvas) : undefined;
    this.#dimensions = new Dimensions(overlay);
    this.#labels = new Labels(overlay);
    this.#marks = new Marks(overlay, (index) => events.onMark?.(index));
    this.#eye = new Eye(canvas, { onChange: () => this.draw(), onView: () => events.onView() });

    // The key light goes with the eye, over the left shoulder: shape can be read from every side.
    const key = new DirectionalLight(0xfff4e6, 2.1);
    key.position.set(-0.7, 0.9, 1);
    const rim = new DirectionalLight(0xdfeaff, 0.55);
    rim.position.set(1, 0.2, -0.5);
    this.#eye.camera.add(key, rim);
    const sky = new HemisphereLight(0xf4f7fa, 0xa8998a, 1.5);
    sky.position.set(0, 0, 1);
    this.#scene.add(this.#eye.camera, sky, this.#content, this.#section.object);
    this.#scene.add(this.#wheel.object, this.#shadow.object);

    watchPointer(canvas, { click: (aim) => this.#click(aim), rest: (aim) => this.#rest(aim) });
    canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      events.onContext(true);
    });
    canvas.addEventListener("webglcontextrestored", () => {
      events.onContext(false);
      this.#settleSoon();
    });
    document.addEventListener("visibilitychange", () => this.draw());
    new ResizeObserver(() => this.#resize()).observe(canvas.parentElement ?? canvas);
    new MutationObserver(() => this.followTheme()).observe(document.body, {
      attributes: true,
      attributeFilter: ["class", "data-vscode-theme-kind", "data-vscode-theme-id"],
    });
    this.followTheme();
    this.#resize();
  }

  /** Puts these pieces on the ground in place of what was there, with how they open and what is measured on them. */
  show(
    pieces: readonly Piece[],
    moves: readonly Move[] = [],
    dimensions: readonly PreviewDimension[] = [],
  ): void {
    this.#content.clear();
    for (const piece of pieces) this.#content.add(piece.object);
    this.#pieces = pieces;
    this.#moves = moves;
    this.#dimensions.show(dimensions);
    if (this.#lit.on && !pieces.includes(this.#lit.on)) this.#lit.on = undefined;
    this.#light.update(pieces, this.#lit.calls, this.#lit.on);
    this.#settleSoon();
  }

  /** How far the mold is open, 0 closed … 1; rules while there is no `opening`. */
  set apart(value: number) {
    this.#apart = value;
    this.#settleSoon();
  }

  /**
   * Where the opening stands: 0 closed, k when the first k moves are done, between them one is on
   * its way; null leaves the parts to `apart`.
   */
  set opening(position: number | null) {
    this.#opening = position;
    this.#settleSoon();
  }

  set hidden(kinds: ReadonlySet<Kind>) {
    this.#hidden = kinds;
    this.#settleSoon();
  }

  /** Cuts the picture open, or no longer. */
  set section(cut: SectionCut | null) {
    this.#cut = cut;
    this.#settleSoon();
  }

  /** The extent of what a cut along `axis` goes through, and where the plane lies at `share` of it; mold frame, mm. */
  sectionPlace(axis: SectionCut["axis"], share: number): { from: number; to: number; at: number } {
    this.#settle();
    return Section.place({ axis, share }, this.#cuttable());
  }

  set names(shown: boolean) {
    this.#labels.names = shown;
    this.draw();
  }

  set marks(marks: readonly Mark[]) {
    this.#marks.show(marks);
    this.draw();
  }

  /** The mark that stands out, by the index of its finding. */
  set activeMark(index: number | null) {
    this.#marks.active = index;
    this.draw();
  }

  set dimensions(mode: DimensionMode) {
    this.#dimensions.mode = mode;
    this.draw();
  }

  /** The words behind numbers: `104 fired · 119 wet`. */
  set dimensionWords(words: { fired: string; wet: string }) {
    this.#dimensions.words = words;
    this.draw();
  }

  /** Lights the faces that `calls` made, of the piece `on` alone if it is given. An empty set lights nothing. */
  light(calls: ReadonlySet<number>, on?: Piece): void {
    this.#lit = { calls, on };
    this.#light.update(this.#pieces, calls, on);
    this.draw();
  }

  /** Something is being worked out, and a new picture to come: finer edges wait, where the renderer is slow. */
  set working(on: boolean) {
    this.#working = on;
    this.#restSoon();
  }

  get triangles(): number {
    return this.#pieces.reduce((sum, piece) => sum + (piece.object.visible ? piece.triangles : 0), 0);
  }

  /** Goes around the middle by degrees: `turn` counter-clockwise seen from above, `tilt` upwards. */
  orbit(turn: number, tilt: number): void {
    this.#eye.orbit(turn, tilt);
  }

  /** Less than 1 comes nearer. */
  zoom(factor: number): void {
    this.#eye.zoom(factor);
  }

  home(): void {
    this.#settle();
    this.#eye.home(this.#pieces);
  }

  get view(): Look {
    this.#settle();
    return this.#eye.view;
  }

  set view(look: Look) {
    this.#eye.view = look;
    this.draw();
  }

  /** Draws with the next frame, and calls `after` once that frame has gone to the screen. */
  draw(after?: () => void): void {
    if (after) this.#afterFrame.push(after);
    this.#restSoon();
    if (this.#frame !== 0) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#render();
      const waiting = this.#afterFrame;
      this.#afterFrame = [];
      if (waiting.length > 0) setTimeout(() => waiting.forEach((call) => call()), 0);
    });
  }

  followTheme(): void {
    const theme = readTheme();
    this.palette.followTheme(theme);
    this.#wheel.followTheme(theme);
    this.#light.followTheme(theme);
    this.#section.followTheme(theme);
    this.#shadow.strength = theme.dark ? 0.9 : 0.55;
    this.draw();
  }

  /** Drawn pixels to one of the page: those of the screen, as far as they are affordable. */
  #ratio(): number {
    if (this.#software) return 1;
    const { clientWidth, clientHeight } = this.#renderer.domElement;
    const affordable = Math.sqrt(mostPixels / Math.max(1, clientWidth * clientHeight));
    return Math.max(1, Math.min(2, devicePixelRatio, affordable));
  }

  #restSoon(): void {
    clearTimeout(this.#restTimer);
    if (this.#working && this.#still) return;
    this.#restTimer = setTimeout(() => this.#rested(), stillAfterMs);
  }

  /** Nothing has changed for a moment: time for what costs more. */
  #rested(): void {
    if (document.hidden) return;
    const { camera } = this.#eye;
    const shade = () => this.#marks.shade(camera, this.#pieces, this.#section.plane);
    if (this.#still) this.#still.take(camera, () => this.#renderer.render(this.#scene, camera), shade);
    else shade();
  }

  #render(): void {
    if (document.hidden) return;
    this.#still?.drop();
    this.#settle();
    const { camera } = this.#eye;
    this.#eye.focus(this.#everything());
    const depth = this.#seen.all.getCenter(new Vector3()).distanceTo(camera.position);
    const high = this.#renderer.domElement.clientHeight || 1;
    this.#section.scaleHatching((2 * depth * Math.tan((camera.fov * Math.PI) / 360)) / high);
    this.#renderer.render(this.#scene, camera);
    const open = (this.#opening ?? this.#apart) >= 0.05;
    const cut = this.#section.plane;
    this.#labels.placeRings(camera, this.#wheel.labels(camera.position));
    const taken = this.#marks.place(camera, this.#pieces);
    this.#dimensions.place(camera, this.#pieces, taken);
    this.#labels.placeNames(camera, this.#pieces, { open, cut, taken });
  }

  #settleSoon(): void {
    this.#unsettled = true;
    this.draw();
  }

  /** Puts everything where it belongs, if anything has changed since it was. */
  #settle(): void {
    if (!this.#unsettled) return;
    this.#unsettled = false;
    const opening = this.#opening;
    const offsets =
      opening === null
        ? apartOffsets(this.#pieces, this.#apart)
        : openingOffsets(this.#pieces, this.#moves, opening);
    // Tools lie to the right of the first look.
    const side = homeSide(this.#pieces);
    const along = Math.abs(Math.sin(side)) >= Math.abs(Math.cos(side)) ? "x" : "y";
    this.#seen = arrange(this.#pieces, offsets, this.#hidden, along);
    const sight = this.#seen.all.clone();
    // While the mold opens the camera holds still: it sees the first picture, the last, and all between.
    if (opening !== null)
      for (const box of [this.#openedBox(0), this.#openedBox(this.#moves.length)]) sight.union(box);
    const reach = sight.isEmpty()
      ? 0
      : Math.max(...[sight.min.x, sight.max.x, sight.min.y, sight.max.y].map(Math.abs));
    this.#wheel.fit(reach, this.#seen.all.isEmpty() ? 0 : this.#seen.all.min.z);
    this.#section.update(this.#cut, this.#pieces, this.#cuttable());
    this.#light.cutBy(this.#section.planes);
    this.#shadow.cutBy(this.#section.planes);
    this.#shadow.update(this.#renderer, this.#content, this.#seen.all);
    this.#eye.look(this.#pieces, sight);
  }

  /** Box of clay and mold in sight with the first `done` moves done. */
  #openedBox(done: number): Box3 {
    const offsets = openingOffsets(this.#pieces, this.#moves, done);
    const box = new Box3();
    this.#pieces.forEach((piece, i) => {
      if (piece.object.visible && kindOf(piece.role) !== "tools")
        box.union(piece.box.clone().translate(offsets[i]));
    });
    return box;
  }

  /** While the mold opens, the cut stays where it is in the closed one. */
  #cuttable(): Box3 {
    const mold = this.#opening === null ? this.#seen.mold : this.#openedBox(0);
    return mold.isEmpty() ? this.#seen.all : mold;
  }

  #everything(): Box3 {
    const { radius, object } = this.#wheel;
    const reach = radius + 10;
    const ground = new Box3(
      new Vector3(-reach, -reach, object.position.z - 1),
      new Vector3(reach, reach, object.position.z),
    );
    return ground.union(this.#seen.all);
  }

  #click(aim: Aim): void {
    const hit = this.#hitAt(aim);
    if (hit) this.#events.onPick?.(hit.run?.call ?? -1, hit.piece, hit.run?.label ?? "");
  }

  #rest(aim: Aim | null): void {
    if (!this.#events.onHover) return;
    const hit = aim && this.#hitAt(aim);
    const call = hit?.run?.call ?? -1;
    const label = hit?.run?.label ?? "";
    const seen = hit ? [hit.piece.name, label, call].join() : "";
    if (seen === this.#hover) return;
    this.#hover = seen;
    if (hit) this.#events.onHover(call, hit.piece, label);
    else this.#events.onHover(null);
  }

  #hitAt({ x, y }: Aim) {
    this.#settle();
    const caster = new Raycaster();
    this.#eye.camera.updateMatrixWorld();
    caster.setFromCamera(new Vector2(x, y), this.#eye.camera);
    return firstHit(caster.ray, this.#pieces, this.#section.plane);
  }

  #resize(): void {
    this.#resizeBuffer();
    this.#eye.fit();
    this.draw();
  }

  #resizeBuffer(): void {
    const frame = this.#renderer.domElement.parentElement;
    const width = Math.max(1, frame?.clientWidth ?? 1);
    const height = Math.max(1, frame?.clientHeight ?? 1);
    const ratio = this.#ratio();
    this.#light.ratio = ratio;
    if (this.#renderer.getPixelRatio() !== ratio) this.#renderer.setPixelRatio(ratio);
    this.#renderer.setSize(width, height);
    this.#eye.aspect = width / height;
  }
}
