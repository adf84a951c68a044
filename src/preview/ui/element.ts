type Attributes = Record<string, string | number | boolean | undefined>;

/** An element with attributes and children. `true` writes an empty attribute, `false` and undefined none. */
export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children);
  return made;
}

/** A line drawing of 16 × 16 that takes the colour of the text around it. */
export function icon(path: string, filled = false): SVGSVGElement {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", filled ? "icon filled" : "icon");
  const line = document.createElementNS(space, "path");
  line.setAttribute("d", path);
  svg.append(line);
  return svg;
}

/** A button that shows a drawing and is named in words. */
export function iconButton(name: string, path: string): HTMLButtonElement {
  return element(
    "button",
    { type: "button", class: "icon-button", title: name, "aria-label": name },
    icon(path),
  );
}

export const icons = {
  turnLeft: "M9.5 3.5 5 8l4.5 4.5",
  turnRight: "M6.5 3.5 11 8l-4.5 4.5",
  tiltUp: "M3.5 9.5 8 5l4.5 4.5",
  tiltDown: "M3.5 6.5 8 11l4.5-4.5",
  nearer: "M8 3v10M3 8h10",
  farther: "M3 8h10",
  home: "M2.5 8 8 3l5.5 5M4.5 7v6h7V7",
  /** Shapes differ, so that severity does not hang on colour. */
  error: "M5.2 2h5.6L14 5.2v5.6L10.8 14H5.2L2 10.8V5.2zM5.8 5.8l4.4 4.4M10.2 5.8l-4.4 4.4",
  warning: "M8 2 15 14H1zM8 6.5v3.5M8 11.6v.9",
  info: "M8 1.8a6.2 6.2 0 1 0 0 12.4A6.2 6.2 0 0 0 8 1.8zM8 7.2v4M8 4.8v.9",
  fine: "M3 8.5 6.5 12 13 4.5",
  play: "M5 3.2v9.6L12.6 8z",
  pause: "M5.2 3.5v9M10.8 3.5v9",
  stepBack: "M11.5 3.5 6 8l5.5 4.5zM4 3.5v9",
  stepOn: "M4.5 3.5 10 8l-5.5 4.5zM12 3.5v9",
  otherSide: "M2.5 5.5h9.5M9.5 3l2.5 2.5L9.5 8M13.5 10.5H4M6.5 8 4 10.5 6.5 13",
  keys: "M6 6.2a2 2 0 1 1 2.9 1.8c-.6.3-.9.7-.9 1.4M8 11.6v.6",
  none: "M3.5 3.5l9 9",
} as const;
