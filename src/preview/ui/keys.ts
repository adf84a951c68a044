import type { PreviewWord } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import type { Words } from "./words.ts";

/** What the keys do to the picture. */
export interface KeyActions {
  orbit(turn: number, tilt: number): void;
  zoom(factor: number): void;
  home(): void;
  apart(way: 1 | -1): void;
  step(way: 1 | -1): void;
  play(): void;
  cut(): void;
  cutMove(way: 1 | -1): void;
  cutSide(): void;
  sizes(): void;
  names(): void;
  mark(way: 1 | -1): void;
  markOpen(): void;
  noMark(): void;
  help(): void;
}

/** Degrees at a key press or a button. */
export const turnStep = 10;
export const tiltStep = 7.5;
export const zoomStep = 0.86;

interface Binding {
  word: PreviewWord;
  /** As printed, then as `KeyboardEvent.key` has them. */
  keys: { print: string; key: string; act: (actions: KeyActions) => void }[];
}

const key = (print: string, act: (actions: KeyActions) => void, name = print) => ({ print, key: name, act });

const bindings: Binding[] = [
  {
    word: "keyTurn",
    keys: [
      key("←", (a) => a.orbit(-turnStep, 0), "ArrowLeft"),
      key("→", (a) => a.orbit(turnStep, 0), "ArrowRight"),
    ],
  },
  {
    word: "keyTilt",
    keys: [
      key("↑", (a) => a.orbit(0, tiltStep), "ArrowUp"),
      key("↓", (a) => a.orbit(0, -tiltStep), "ArrowDown"),
    ],
  },
  { word: "keyZoom", keys: [key("+", (a) => a.zoom(zoomStep)), key("-", (a) => a.zoom(1 / zoomStep))] },
  { word: "keyHome", keys: [key("Home", (a) => a.home())] },
  { word: "keyApart", keys: [key("[", (a) => a.apart(-1)), key("]", (a) => a.apart(1))] },
  { word: "keyStep", keys: [key(",", (a) => a.step(-1)), key(".", (a) => a.step(1))] },
  { word: "keyPlay", keys: [key("Space", (a) => a.play(), " ")] },
  { word: "keyCut", keys: [key("C", (a) => a.cut(), "c")] },
  {
    word: "keyCutMove",
    keys: [key("PgDn", (a) => a.cutMove(-1), "PageDown"), key("PgUp", (a) => a.cutMove(1), "PageUp")],
  },
  { word: "keyCutSide", keys: [key("V", (a) => a.cutSide(), "v")] },
  { word: "keySizes", keys: [key("D", (a) => a.sizes(), "d")] },
  { word: "keyNames", keys: [key("N", (a) => a.names(), "n")] },
  { word: "keyMark", keys: [key("P", (a) => a.mark(-1), "p"), key("F", (a) => a.mark(1), "f")] },
  { word: "keyMarkOpen", keys: [key("Enter", (a) => a.markOpen())] },
  { word: "keyNoMark", keys: [key("Esc", (a) => a.noMark(), "Escape")] },
  { word: "keyHelp", keys: [key("?", (a) => a.help())] },
];

const byKey = new Map(bindings.flatMap(({ keys }) => keys.map((one) => [one.key, one.act] as const)));
// The same key without Shift.
byKey.set("=", (actions) => actions.zoom(zoomStep));

/** Obeys a key pressed while the picture has the focus. Gives whether it meant something. */
export function pressKey(event: KeyboardEvent, actions: KeyActions): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  const act = byKey.get(event.key.length === 1 ? event.key.toLowerCase() : event.key);
  act?.(actions);
  return act !== undefined;
}

/** The list of keys, over the page until it is closed. */
export class KeyHelp {
  readonly root: HTMLDialogElement;

  constructor(words: Words) {
    const rows = bindings.map(({ word, keys }) =>
      element(
        "div",
        {},
        element(
          "dt",
          {},
          ...keys.flatMap(({ print }, i) => [...(i > 0 ? [" "] : []), element("kbd", {}, print)]),
        ),
        element("dd", {}, words[word]),
      ),
    );
    const close = element("button", { type: "button", class: "plain" }, words.close);
    this.root = element(
      "dialog",
      { class: "keys", "aria-labelledby": "keys-title" },
      element("h2", { id: "keys-title" }, words.keysTitle),
      element("p", {}, words.keysWhere),
      element("dl", {}, ...rows),
      close,
    );
    close.addEventListener("click", () => this.root.close());
  }

  show(): void {
    if (!this.root.open) this.root.showModal();
  }
}
