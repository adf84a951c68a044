import type {
  FindingLine,
  PreviewMold,
  PreviewState,
  PreviewWord,
  Spot,
  ToPreview,
} from "../../shared/preview.ts";
import type { Host } from "./host.ts";
import { kindOf, kinds, type Kind } from "./scene/arrange.ts";
import { MissingGeometry, Pieces, type Piece } from "./scene/piece.ts";
import { Stage } from "./scene/stage.ts";
import { Announcer } from "./ui/announcer.ts";
import { Controls } from "./ui/controls.ts";
import { element } from "./ui/element.ts";
import { FindingList } from "./ui/findings.ts";

type Show = Extract<ToPreview, { type: "show" }>;
type Notice = Extract<ToPreview, { type: "notice" }>;

/** Far enough open to see the pot and how the mold comes off. */
const apartAtFirst = 0.35;

/** The whole page once it knows its words: picture, controls, findings, and what it keeps. */
export class Page {
  readonly #host: Host;
  readonly #words: Record<PreviewWord, string>;
  readonly #canvas = element("canvas", { role: "img", tabindex: 0, "aria-describedby": "summary" });
  readonly #summary = element("p", { id: "summary", class: "hidden-word" });
  readonly #title = element("h1", {});
  readonly #sizes = element("p", { class: "sizes" });
  readonly #which = element("select", {});
  readonly #banner = element("div", { class: "banner", role: "alert", hidden: true });
  readonly #notice = element("div", { class: "notice", hidden: true });
  readonly #busy = element("div", { class: "busy", hidden: true });
  readonly #controls: Controls;
  readonly #findings: FindingList;
  readonly #announcer = new Announcer();
  readonly #root = element("main", {});
  readonly #stage: Stage | undefined;
  readonly #pieces: Pieces | undefined;
  #molds: PreviewMold[] = [];
  #pieceSets = new Map<string, Piece[]>();
  #shown = "";
  #state: PreviewState;
  #keeping = 0;

  constructor(host: Host, uri: string, words: Record<PreviewWord, string>, kept: PreviewState | undefined) {
    this.#host = host;
    this.#words = words;
    this.#state = { ...kept, uri };
    const overlay = element("div", { class: "labels", "aria-hidden": "true" });
    const picture = element("div", { class: "picture" }, this.#canvas, overlay);
    this.#canvas.setAttribute("aria-label", words.picture);
    this.#which.setAttribute("aria-label", words.whichMold);
    this.#which.hidden = true;
    this.#findings = new FindingList(words, (spot) => this.#open(spot));

    let stage: Stage | undefined;
    try {
      stage = new Stage(this.#canvas, overlay, {
        onView: () => this.#keepSoon(),
        onContext: (lost) => this.#contextChanged(lost),
      });
    } catch (error) {
      host.fault(error);
    }
    this.#stage = stage;
    if (stage) this.#pieces = new Pieces(stage.palette);
    this.#controls = new Controls(words, {
      apart: (value) => {
        if (stage) stage.apart = value;
        this.#keepSoon();
      },
      hide: (hidden) => {
        if (stage) stage.hidden = hidden;
        this.#keep();
      },
      names: (shown) => {
        if (stage) stage.names = shown;
      },
      orbit: (turn, tilt) => stage?.orbit(turn, tilt),
      zoom: (factor) => stage?.zoom(factor),
      home: () => stage?.home(),
    });
    this.#which.addEventListener("change", () => {
      this.#shown = this.#which.value;
      this.#showMold();
      this.#keep();
    });
    this.#canvas.addEventListener("keydown", (event) => {
      if (this.#controls.key(event)) event.preventDefault();
    });

    this.#root.append(
      element(
        "div",
        { class: "stage" },
        picture,
        this.#busy,
        element("header", {}, this.#title, this.#which, this.#sizes),
        this.#controls.top,
        this.#banner,
        this.#notice,
      ),
      this.#controls.bottom,
      this.#findings.root,
      this.#summary,
      this.#announcer.root,
    );
    document.body.replaceChildren(this.#root);
    this.#controls.apart = kept?.view?.apart ?? apartAtFirst;
    this.#controls.hidden = new Set(kinds.filter((kind) => kept?.view?.hidden.includes(kind)));
    this.#shown = kept?.view?.mold ?? "";
    if (stage) {
      stage.apart = this.#controls.apart;
      stage.hidden = this.#controls.hidden;
      if (kept?.view) stage.view = kept.view;
    } else {
      this.#say(words.noWebGl);
    }
    if (kept?.summary) this.#summary.textContent = kept.summary;
    // Until the first picture comes there is something to read.
    this.#root.classList.add("empty");
  }

  busy(): void {
    this.#busy.hidden = false;
  }

  show(message: Show): void {
    const start = performance.now();
    this.#busy.hidden = true;
    if (message.molds) {
      if (!this.#take(message.molds)) return;
      this.#root.classList.toggle("empty", message.molds.length === 0);
    }
    this.#notice.hidden = this.#stage !== undefined || message.molds === undefined;
    this.#problem(message.problem);
    this.#findings.show(message.findings, message.problem === undefined);
    this.#announcer.say(message.problem?.message ?? this.#spoken(message.findings));
    this.#keepSoon();
    const painted = () =>
      this.#host.post({
        type: "painted",
        build: message.build,
        triangles: this.#stage?.triangles ?? 0,
        milliseconds: performance.now() - start,
      });
    if (this.#stage) this.#stage.draw(painted);
    else painted();
  }

  notice({ sentence, button }: Notice): void {
    this.#busy.hidden = true;
    this.#banner.hidden = true;
    this.#say(sentence, button);
    this.#announcer.say(sentence);
  }

  /** Takes over the molds of a build; without the geometry that it needs, it asks for everything again. */
  #take(molds: PreviewMold[]): boolean {
    if (this.#pieces) {
      try {
        // All molds at once: what one drops another may hold.
        const all = this.#pieces.take(molds.flatMap((mold) => mold.surfaces));
        this.#pieceSets = new Map(
          molds.map((mold) => [mold.name, all.splice(0, mold.surfaces.length)] as const),
        );
      } catch (error) {
        if (!(error instanceof MissingGeometry)) throw error;
        this.#host.post({ type: "ready" });
        return false;
      }
    }
    this.#molds = molds;
    if (!molds.some((mold) => mold.name === this.#shown)) this.#shown = molds[0]?.name ?? "";
    this.#which.hidden = molds.length < 2;
    this.#which.replaceChildren(
      ...molds.map((mold) => element("option", { selected: mold.name === this.#shown }, mold.name)),
    );
    this.#showMold();
    return true;
  }

  #showMold(): void {
    const mold = this.#molds.find((one) => one.name === this.#shown);
    this.#title.hidden = this.#molds.length > 1;
    this.#title.textContent = mold?.name ?? "";
    const size = (mm: readonly number[]) => mm.map((length) => String(Math.round(length))).join(" × ");
    this.#sizes.replaceChildren();
    if (mold) {
      this.#sizes.append(
        element("span", {}, `${this.#words.fired} ${size(mold.fired)} mm`),
        element("span", {}, `${this.#words.wet} ${size(mold.wet)} mm`),
      );
    }
    this.#summary.textContent = mold?.summary ?? "";
    const pieces = this.#pieceSets.get(this.#shown) ?? [];
    this.#controls.present = new Set<Kind>(pieces.map((piece) => kindOf(piece.role)));
    this.#stage?.show(pieces);
  }

  #problem(problem: Show["problem"]): void {
    this.#root.classList.toggle("stale", problem !== undefined);
    this.#banner.hidden = problem === undefined;
    this.#banner.replaceChildren();
    if (!problem) return;
    this.#banner.append(element("p", {}, problem.message));
    if (this.#molds.length > 0) this.#banner.append(element("p", { class: "hint" }, this.#words.stale));
    const { spot } = problem;
    if (!spot) return;
    const go = element("button", { type: "button" }, `${this.#words.goToLine} ${spot.label}`);
    go.addEventListener("click", () => this.#open(spot));
    this.#banner.append(go);
  }

  #say(sentence: string, button?: Notice["button"]): void {
    this.#notice.hidden = false;
    this.#notice.replaceChildren(element("p", {}, sentence));
    if (!button) return;
    const press = element("button", { type: "button" }, button.label);
    press.addEventListener("click", () => this.#host.post({ type: "action", action: button.action }));
    this.#notice.append(press);
  }

  #contextChanged(lost: boolean): void {
    if (lost) this.#say(this.#words.contextLost);
    else this.#notice.hidden = true;
  }

  #spoken(findings: FindingLine[]): string {
    const summary = this.#summary.textContent ?? "";
    if (findings.length === 0) return summary;
    return `${summary} ${this.#words.findings}: ${findings.length}.`;
  }

  #open({ file, line, column }: Spot): void {
    this.#host.post({ type: "openPlace", file, line, column });
  }

  /** After the last of many small changes, such as while the picture is turned. */
  #keepSoon(): void {
    clearTimeout(this.#keeping);
    this.#keeping = setTimeout(() => this.#keep(), 150);
  }

  #keep(): void {
    clearTimeout(this.#keeping);
    this.#state = { ...this.#state, summary: this.#summary.textContent ?? "" };
    if (this.#stage) {
      this.#state.view = {
        ...this.#stage.view,
        apart: this.#controls.apart,
        hidden: [...this.#controls.hidden],
        mold: this.#shown,
      };
    }
    this.#host.keep(this.#state);
  }
}
