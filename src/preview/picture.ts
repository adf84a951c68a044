import type { PreviewMold, PreviewView } from "../../shared/preview.ts";
import { kindOf, type Kind } from "./scene/arrange.ts";
import { MissingGeometry, Pieces, type Piece } from "./scene/piece.ts";
import { Stage, type StageEvents } from "./scene/stage.ts";
import { element } from "./ui/element.ts";
import type { Words } from "./ui/words.ts";

/** What can be asked of the picture; where there is none it is nobody's loss. */
type Settings = Partial<
  Pick<
    Stage,
    | "apart"
    | "opening"
    | "hidden"
    | "section"
    | "names"
    | "marks"
    | "activeMark"
    | "dimensions"
    | "view"
    | "working"
  >
>;

/** The picture with the molds that it can show; empty where the window has no WebGL. */
export class Picture {
  readonly root: HTMLElement;
  readonly canvas = element("canvas", { role: "img", tabindex: 0 });
  readonly #stage: Stage | undefined;
  readonly #pieces: Pieces | undefined;
  #sets = new Map<string, Piece[]>();

  /** `described`: ids of what describes the picture in words. `fault` is told why there is none. */
  constructor(words: Words, described: string, events: StageEvents, fault: (error: unknown) => void) {
    const overlay = element("div", { class: "labels", "aria-hidden": "true" });
    this.root = element("div", { class: "picture" }, this.canvas, overlay);
    this.canvas.setAttribute("aria-label", words.picture);
    this.canvas.setAttribute("aria-describedby", described);
    try {
      this.#stage = new Stage(this.canvas, overlay, events);
    } catch (error) {
      fault(error);
      return;
    }
    this.#pieces = new Pieces(this.#stage.palette);
    this.#stage.dimensionWords = { fired: words.lengthFired, wet: words.lengthWet };
  }

  get there(): boolean {
    return this.#stage !== undefined;
  }

  get triangles(): number {
    return this.#stage?.triangles ?? 0;
  }

  get view(): Pick<PreviewView, "offset" | "target" | "fitted"> | undefined {
    return this.#stage?.view;
  }

  set(settings: Settings): void {
    if (this.#stage) Object.assign(this.#stage, settings);
  }

  /** Faces that these calls made stand out. */
  light(calls: ReadonlySet<number>): void {
    this.#stage?.light(calls);
  }

  orbit(turn: number, tilt: number): void {
    this.#stage?.orbit(turn, tilt);
  }

  zoom(factor: number): void {
    this.#stage?.zoom(factor);
  }

  home(): void {
    this.#stage?.home();
  }

  /** mm along an axis between which a cut can lie. */
  cutRange(axis: "x" | "y" | "z"): { min: number; max: number } {
    const place = this.#stage?.sectionPlace(axis, 0);
    return { min: place?.from ?? 0, max: place?.to ?? 0 };
  }

  /** Takes over the molds of a build. False, and nothing has changed, where geometry is missing that it does not hold. */
  take(molds: readonly PreviewMold[]): boolean {
    if (!this.#pieces) return true;
    try {
      // All molds at once: what one drops another may hold.
      const all = this.#pieces.take(molds.flatMap((mold) => mold.surfaces));
      this.#sets = new Map(molds.map((mold) => [mold.name, all.splice(0, mold.surfaces.length)] as const));
      return true;
    } catch (error) {
      if (error instanceof MissingGeometry) return false;
      throw error;
    }
  }

  /** Puts one of the molds on the ground; without one clears it. */
  show(mold: PreviewMold | undefined): void {
    this.#stage?.show(this.#piecesOf(mold), mold?.moves ?? [], mold?.dimensions ?? []);
  }

  kinds(mold: PreviewMold | undefined): ReadonlySet<Kind> {
    return new Set(this.#piecesOf(mold).map((piece) => kindOf(piece.role)));
  }

  /** Calls `after` once everything asked for is on the screen; at once where there is no picture. */
  painted(after: () => void): void {
    if (this.#stage) this.#stage.draw(after);
    else after();
  }

  #piecesOf(mold: PreviewMold | undefined): Piece[] {
    return this.#sets.get(mold?.name ?? "") ?? [];
  }
}
