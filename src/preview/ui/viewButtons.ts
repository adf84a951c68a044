import type { PreviewWord } from "../../../shared/preview.ts";
import { element, iconButton, icons } from "./element.ts";
import { tiltStep, turnStep, zoomStep, type KeyActions } from "./keys.ts";
import type { Words } from "./words.ts";

/** Buttons in the corner of the picture for what a hand on the mouse does by dragging. */
export function viewButtons(words: Words, actions: KeyActions): HTMLElement {
  const press = (word: PreviewWord, path: string, act: () => void): HTMLElement => {
    const button = iconButton(words[word], path);
    button.addEventListener("click", act);
    return button;
  };
  return element(
    "div",
    { class: "views", role: "group", "aria-label": words.view },
    press("turnLeft", icons.turnLeft, () => actions.orbit(-turnStep, 0)),
    press("turnRight", icons.turnRight, () => actions.orbit(turnStep, 0)),
    press("tiltUp", icons.tiltUp, () => actions.orbit(0, tiltStep)),
    press("tiltDown", icons.tiltDown, () => actions.orbit(0, -tiltStep)),
    press("farther", icons.farther, () => actions.zoom(1 / zoomStep)),
    press("nearer", icons.nearer, () => actions.zoom(zoomStep)),
    press("home", icons.home, () => actions.home()),
    press("keys", icons.keys, () => actions.help()),
  );
}
