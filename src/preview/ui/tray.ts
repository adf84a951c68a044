import { element } from "./element.ts";

export interface Drawer {
  name: string;
  title: string;
  body: HTMLElement;
}

/**
 * What stands under or beside the picture. Where there is room all drawers are open; where there is
 * not, a row of buttons opens one of them (the style sheet says which it is).
 */
export class Tray {
  readonly root: HTMLElement;
  readonly #sections = new Map<
    string,
    { section: HTMLElement; button: HTMLButtonElement; notes: HTMLElement[] }
  >();
  readonly #chosen: (name: string) => void;
  #open = "";

  /** `chosen` is told when the maker opens another drawer. */
  constructor(label: string, drawers: Drawer[], chosen: (name: string) => void) {
    this.#chosen = chosen;
    const row = element("nav", { class: "drawers", "aria-label": label });
    const all = element("div", { class: "sections" });
    for (const { name, title, body } of drawers) {
      const notes = [note(), note()];
      const section = element(
        "section",
        { id: `drawer-${name}`, class: name, "aria-labelledby": `title-${name}` },
        element("h2", { id: `title-${name}` }, title, notes[0]),
        body,
      );
      const button = element(
        "button",
        { type: "button", "aria-expanded": "false", "aria-controls": section.id },
        title,
        notes[1],
      );
      button.addEventListener("click", () => {
        this.open = name;
        this.#chosen(name);
      });
      this.#sections.set(name, { section, button, notes });
      row.append(button);
      all.append(section);
    }
    this.root = element("div", { class: "tray" }, row, all);
  }

  get open(): string {
    return this.#open;
  }

  set open(name: string) {
    if (!this.#sections.has(name)) return;
    this.#open = name;
    for (const [one, { section, button }] of this.#sections) {
      section.classList.toggle("open", one === name);
      button.setAttribute("aria-expanded", String(one === name));
    }
  }

  /** A few letters beside the title; without them none. */
  note(name: string, text: string): void {
    for (const one of this.#sections.get(name)?.notes ?? []) {
      one.hidden = text === "";
      one.textContent = text;
    }
  }

  /** A drawer with nothing in it is not there. */
  present(name: string, present: boolean): void {
    const drawer = this.#sections.get(name);
    if (!drawer) return;
    drawer.section.hidden = drawer.button.hidden = !present;
  }

  /** Something is switched on in there that may be out of sight. */
  inUse(name: string, used: boolean): void {
    this.#sections.get(name)?.button.classList.toggle("in-use", used);
  }
}

const note = (): HTMLElement => element("span", { class: "note", hidden: true });
