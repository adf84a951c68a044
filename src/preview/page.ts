import type {
  CallLine,
  FindingLine,
  PreviewMold,
  PreviewState,
  PreviewView,
  Spot,
  ToPreview,
} from "../../shared/preview.ts";
import type { Host } from "./host.ts";
import { Picture } from "./picture.ts";
import { Announcer } from "./ui/announcer.ts";
import { CutControls } from "./ui/cut.ts";
import { Busy } from "./ui/busy.ts";
import { element } from "./ui/element.ts";
import { FindingList } from "./ui/findings.ts";
import { Heading } from "./ui/heading.ts";
import { KeyHelp, pressKey, type KeyActions } from "./ui/keys.ts";
import { Banner, Notice } from "./ui/notices.ts";
import { OpeningControls } from "./ui/opening.ts";
import { ParamControls } from "./ui/params.ts";
import { Readout } from "./ui/readout.ts";
import { ShownControls } from "./ui/shown.ts";
import { Tray } from "./ui/tray.ts";
import { viewButtons } from "./ui/viewButtons.ts";
import type { Words } from "./ui/words.ts";

type Show = Extract<ToPreview, { type: "show" }>;
type SetUp = Extract<ToPreview, { type: "setup" }>;
type NoticeMessage = Extract<ToPreview, { type: "notice" }>;

/** The whole page once it knows its words: picture, controls, findings, and what it keeps. */
export class Page {
  readonly #host: Host;
  readonly #words: Words;
  readonly #picture: Picture;
  readonly #summary = element("p", { id: "summary" });
  readonly #heading: Heading;
  readonly #banner: Banner;
  readonly #notice = new Notice();
  readonly #busy = new Busy();
  readonly #readout: Readout;
  readonly #opening: OpeningControls;
  readonly #cut: CutControls;
  readonly #shownControls: ShownControls;
  readonly #params: ParamControls;
  readonly #findings: FindingList;
  readonly #tray: Tray;
  readonly #help: KeyHelp;
  readonly #announcer = new Announcer();
  readonly #root: HTMLElement;
  #molds: PreviewMold[] = [];
  #lines: FindingLine[] = [];
  #calls = new Map<number, CallLine>();
  /** Calls that the cursor stands in. */
  #lit: ReadonlySet<number> = new Set();
  #active: number | null = null;
  /** The opening order rules the picture. */
  #inOrder = false;
  #shown = "";
  /** The maker has not chosen a drawer: the one that is called for is open. */
  #drawerFree: boolean;
  #state: PreviewState;
  #keeping = 0;

  constructor(host: Host, words: Words, kept: PreviewState | undefined) {
    this.#host = host;
    this.#words = words;
    this.#state = kept ?? { uri: "" };
    this.#shown = kept?.view?.mold ?? "";
    const open = (spot: Spot) => this.#open(spot);
    const picture = this.#makePicture();
    this.#picture = picture;

    this.#heading = new Heading(words, (mold) => {
      this.#shown = mold;
      this.#showMold();
      this.#keep();
    });
    this.#banner = new Banner(words, open);
    this.#readout = new Readout(words);
    this.#opening = new OpeningControls(words, {
      apart: () => this.#partsMoved(),
      opening: () => this.#partsMoved(),
    });
    this.#cut = new CutControls(
      words,
      (axis) => picture.cutRange(axis),
      (cut) => {
        picture.set({ section: cut });
        this.#tray.inUse("cut", cut !== null);
        this.#keepSoon();
      },
    );
    this.#shownControls = new ShownControls(words, {
      hide: (hidden) => {
        picture.set({ hidden });
        this.#cut.refresh();
        this.#keep();
      },
      names: (shown) => {
        picture.set({ names: shown });
        this.#keep();
      },
      sizes: (sizes) => {
        picture.set({ dimensions: sizes });
        this.#keep();
      },
    });
    this.#params = new ParamControls(words, {
      param: (name, value, phase) => host.post({ type: "param", name, value, phase }),
      open,
    });
    this.#findings = new FindingList(words, {
      open,
      why: (code) => host.post({ type: "openHelp", code }),
      active: (index) => this.#activate(index),
    });
    this.#help = new KeyHelp(words);
    this.#tray = new Tray(
      words.drawers,
      [
        { name: "findings", title: words.findings, body: this.#findings.body },
        { name: "numbers", title: words.numbers, body: this.#params.body },
        { name: "opening", title: words.opening, body: this.#opening.body },
        { name: "shown", title: words.shown, body: this.#shownControls.body },
        { name: "cut", title: words.cut, body: this.#cut.body },
      ],
      () => {
        this.#drawerFree = false;
        this.#keep();
      },
    );
    this.#tray.present("numbers", false);
    this.#drawerFree = kept?.view?.drawer === undefined;
    this.#tray.open = kept?.view?.drawer ?? "opening";

    const actions = this.#actions();
    picture.canvas.addEventListener("keydown", (event) => {
      if (pressKey(event, actions)) event.preventDefault();
    });
    this.#root = element(
      "main",
      { class: "empty" },
      element(
        "div",
        { class: "stage" },
        picture.root,
        this.#busy.root,
        element(
          "div",
          { class: "front" },
          this.#heading.root,
          this.#banner.root,
          element("div", { class: "corner" }, this.#readout.root, viewButtons(words, actions)),
        ),
        this.#notice.root,
      ),
      this.#tray.root,
      element(
        "div",
        { class: "hidden-word" },
        this.#summary,
        element("p", { id: "picture-help" }, words.pictureHelp),
      ),
      this.#announcer.root,
      this.#help.root,
    );
    document.body.replaceChildren(this.#root);
    this.#restore(kept?.view);
    if (!picture.there) {
      this.#notice.show(words.noWebGl);
      this.#root.classList.add("blind");
      for (const drawer of ["opening", "shown", "cut"]) this.#tray.present(drawer, false);
      this.#tray.open = "findings";
    }
    // Until the first picture comes there is something to read.
    if (kept?.summary) this.#summary.textContent = kept.summary;
  }

  /** Which design it is, and how sizes are given; both may change. */
  setUp({ uri, units }: SetUp): void {
    this.#state = { ...this.#state, uri };
    this.#heading.units = units;
    this.#host.keep(this.#state);
  }

  busy(on: boolean): void {
    this.#busy.on = on;
    this.#picture.set({ working: on });
  }

  show(message: Show): void {
    const start = performance.now();
    this.#busy.on = false;
    this.#calls = new Map(message.calls.map((line) => [line.call, line]));
    if (message.molds && !this.#take(message.molds)) return;
    const sound = message.problem === undefined;
    if (this.#picture.there) this.#notice.hide();
    else this.#notice.show(`${this.#words.noWebGl} ${this.#summary.textContent ?? ""}`);
    this.#root.classList.toggle("stale", !sound);
    this.#banner.show(message.problem, this.#molds.length > 0);
    this.#lines = message.findings;
    this.#findings.show(message.findings, sound, this.#molds.length > 1);
    this.#tray.note(
      "findings",
      message.findings.length > 0 ? `${message.findings.length}` : sound ? "✓" : "",
    );
    this.#mark();
    this.#params.show(message.params, message.paramsHeld);
    this.#tray.present("numbers", message.params.length > 0);
    if (this.#drawerFree && this.#picture.there)
      this.#tray.open = message.findings.length > 0 ? "findings" : "opening";
    this.#announcer.say(message.problem?.message ?? this.#spoken());
    this.#keepSoon();
    const take = performance.now() - start;
    this.#picture.painted(() =>
      this.#host.post({
        type: "painted",
        build: message.build,
        triangles: this.#picture.triangles,
        digests: this.#molds.flatMap((mold) => mold.surfaces.map(({ digest }) => digest)),
        take,
        milliseconds: performance.now() - start,
      }),
    );
  }

  light(calls: number[]): void {
    this.#lit = new Set(calls);
    this.#picture.light(this.#lit);
  }

  notice({ sentence, button }: NoticeMessage): void {
    this.#busy.on = false;
    this.#banner.show(undefined, false);
    this.#notice.show(sentence, button, (action) => this.#host.post({ type: "action", action }));
    this.#announcer.say(sentence);
  }

  #makePicture(): Picture {
    return new Picture(
      this.#words,
      "summary picture-help",
      {
        onView: () => this.#keepSoon(),
        onContext: (lost) => {
          if (lost) this.#notice.show(this.#words.contextLost);
          else this.#notice.hide();
        },
        onHover: (call, piece, label) => {
          if (call === null) this.#readout.hide();
          else this.#readout.show(label ?? "", piece?.name ?? "", this.#calls.get(call));
        },
        onPick: (call) => {
          const line = this.#calls.get(call);
          if (line) this.#open(line.spot);
        },
        onMark: (index) => this.#choose(index),
      },
      (error) => this.#host.fault(error),
    );
  }

  #restore(view: PreviewView | undefined): void {
    this.#opening.restore(view?.apart, view?.opening);
    this.#shownControls.restore(view?.hidden ?? [], view?.names, view?.sizes);
    this.#cut.restore(view?.cut);
    this.#tray.inUse("cut", this.#cut.cut !== null);
    this.#inOrder = this.#opening.opening !== null;
    this.#picture.set({
      apart: this.#opening.apart,
      opening: this.#opening.opening,
      hidden: this.#shownControls.hidden,
      names: this.#shownControls.names,
      dimensions: this.#shownControls.sizes,
      section: this.#cut.cut,
      ...(view && { view }),
    });
  }

  #actions(): KeyActions {
    return {
      orbit: (turn, tilt) => this.#picture.orbit(turn, tilt),
      zoom: (factor) => this.#picture.zoom(factor),
      home: () => this.#picture.home(),
      apart: (way) => this.#opening.nudge(way),
      step: (way) => this.#opening.step(way),
      play: () => this.#opening.playOrHold(),
      cut: () => this.#cut.next(),
      cutMove: (way) => this.#cut.nudge(way),
      cutSide: () => this.#cut.turn(),
      sizes: () => this.#shownControls.nextSizes(),
      names: () => this.#shownControls.toggleNames(),
      mark: (way) => this.#nextMark(way),
      markOpen: () => {
        if (this.#active !== null) this.#open(this.#lines[this.#active].spot);
      },
      noMark: () => this.#activate(null),
      help: () => this.#help.show(),
    };
  }

  /** Takes over the molds of a build; without the geometry that it needs, it asks for everything again. */
  #take(molds: PreviewMold[]): boolean {
    if (!this.#picture.take(molds)) {
      this.#host.post({ type: "ready" });
      return false;
    }
    this.#molds = molds;
    if (!molds.some((mold) => mold.name === this.#shown)) this.#shown = molds[0]?.name ?? "";
    this.#root.classList.toggle("empty", molds.length === 0);
    this.#showMold();
    return true;
  }

  #showMold(): void {
    const mold = this.#molds.find((one) => one.name === this.#shown);
    this.#heading.show(this.#molds, mold);
    this.#summary.textContent = mold?.summary ?? "";
    this.#shownControls.present = this.#picture.kinds(mold);
    this.#opening.moves = mold?.moves ?? [];
    const { opening } = this.#opening;
    if (opening !== null || this.#inOrder) this.#picture.set({ opening });
    this.#inOrder = opening !== null;
    this.#picture.show(mold);
    this.#cut.refresh();
    this.#mark();
  }

  #partsMoved(): void {
    const { opening, apart } = this.#opening;
    if (opening !== null || this.#inOrder) this.#picture.set({ opening });
    if (opening === null) this.#picture.set({ apart });
    this.#inOrder = opening !== null;
    this.#cut.refresh();
    this.#keepSoon();
  }

  /** Findings of the mold that is shown stand at their places. */
  #mark(): void {
    if (this.#active !== null && this.#active >= this.#lines.length) this.#activate(null);
    this.#picture.set({
      marks: this.#lines.flatMap(({ severity, at, part, mold }, index) =>
        mold === undefined || mold === this.#shown ? [{ index, severity, at, part }] : [],
      ),
    });
  }

  #activate(index: number | null): void {
    this.#active = index;
    this.#findings.active = index;
    this.#picture.set({ activeMark: index });
  }

  /** A mark was clicked: its row is shown and gets the focus. */
  #choose(index: number): void {
    this.#tray.open = "findings";
    this.#findings.focus(index);
    this.#activate(index);
  }

  /** From the keys of the picture: the row comes into sight, the focus stays. */
  #nextMark(way: 1 | -1): void {
    const count = this.#lines.length;
    if (count === 0) return;
    const from = this.#active ?? (way > 0 ? -1 : count);
    const index = (from + way + count) % count;
    const { mold } = this.#lines[index];
    if (mold !== undefined && mold !== this.#shown && this.#molds.some(({ name }) => name === mold)) {
      this.#shown = mold;
      this.#showMold();
    }
    this.#tray.open = "findings";
    this.#findings.reveal(index);
    this.#activate(index);
    this.#announcer.say(this.#lines[index].message);
  }

  #spoken(): string {
    const summary = this.#summary.textContent ?? "";
    if (this.#lines.length === 0) return summary;
    return `${summary} ${this.#words.findings}: ${this.#lines.length}.`;
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
    const { view } = this.#picture;
    if (view) {
      this.#state.view = {
        ...view,
        apart: this.#opening.apart,
        opening: this.#opening.opening,
        hidden: [...this.#shownControls.hidden],
        names: this.#shownControls.names,
        sizes: this.#shownControls.sizes,
        cut: this.#cut.cut,
        mold: this.#shown,
        drawer: this.#drawerFree ? undefined : this.#tray.open,
      };
    }
    this.#host.keep(this.#state);
  }
}
