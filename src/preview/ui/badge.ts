import type { FindingLine } from "../../../shared/preview.ts";

/** Shapes differ, so that severity does not hang on colour: eight corners, three, and round. */
const outlines = {
  error: "M7.2 1.5h7.6l5.7 5.7v7.6l-5.7 5.7H7.2l-5.7-5.7V7.2z",
  warning: "M11 1.2 21.2 20H.8z",
  info: "M11 1.5a9.5 9.5 0 1 0 0 19 9.5 9.5 0 0 0 0-19z",
} as const;

/** A number in the shape of its severity, 22 × 22, in the colour of the text around it. */
export function badge(severity: FindingLine["severity"], number: number): SVGSVGElement {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 22 22");
  svg.setAttribute("class", `badge ${severity}`);
  svg.setAttribute("aria-hidden", "true");
  const outline = document.createElementNS(space, "path");
  outline.setAttribute("d", outlines[severity]);
  const text = document.createElementNS(space, "text");
  text.setAttribute("x", "11");
  text.setAttribute("y", severity === "warning" ? "14.6" : "11.2");
  text.textContent = String(number);
  svg.append(outline, text);
  return svg;
}
