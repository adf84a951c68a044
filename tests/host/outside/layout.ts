import type { Frame } from "playwright-core";

/**
 * What is wrong with the preview's layout as it stands, one line each: something to press that is
 * smaller than 24 px, out of sight or under something else; blocks that lie over each other; text
 * cut off.
 */
export function layoutFaults(preview: Frame): Promise<string[]> {
  return preview.evaluate(() => {
    const faults: string[] = [];
    const name = (element: Element) =>
      `${element.tagName.toLowerCase()}${element.id ? `#${element.id}` : ""} “${(element.getAttribute("aria-label") ?? element.textContent ?? "").trim().slice(0, 30)}”`;
    const seen = (element: Element) =>
      element.checkVisibility({ visibilityProperty: true }) &&
      !element.closest(".hidden-word, dialog:not([open])");
    const scroller = (element: Element): Element | null => element.closest(".sections, .banner, dialog");

    for (const element of document.querySelectorAll(
      "button, select, input:not([type=radio]), .choice label",
    )) {
      if (!seen(element)) continue;
      const { left, top, right, bottom, width, height } = element.getBoundingClientRect();
      if (width < 24 || height < 24) faults.push(`${name(element)} is ${width} × ${height} px`);
      if (left < 0 || right > innerWidth + 0.5)
        faults.push(`${name(element)} reaches beyond the side of the page`);
      // What scrolls may be out of sight above or below.
      const frame = scroller(element)?.getBoundingClientRect();
      const x = (left + right) / 2;
      const y = (top + bottom) / 2;
      if (frame && (y < frame.top || y > frame.bottom)) continue;
      if (top < 0 || bottom > innerHeight + 0.5)
        faults.push(`${name(element)} reaches beyond the end of the page`);
      const front = document.elementFromPoint(x, y);
      if (front && front !== element && !element.contains(front) && !front.contains(element)) {
        faults.push(`${name(element)} lies under ${name(front)}`);
      }
    }

    const blocks = [...document.querySelectorAll("header, .banner, .readout, .views, .tray")].filter(seen);
    blocks.forEach((one, i) => {
      for (const other of blocks.slice(i + 1)) {
        const [a, b] = [one.getBoundingClientRect(), other.getBoundingClientRect()];
        const x = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const y = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (x > 1 && y > 1) faults.push(`${name(one)} and ${name(other)} share ${x} × ${y} px`);
      }
    });

    for (const element of document.querySelectorAll("main *")) {
      if (!seen(element) || element.closest("svg, .labels, select")) continue;
      const hides = getComputedStyle(element).overflowX !== "visible";
      if (hides && element.scrollWidth > element.clientWidth + 1)
        faults.push(`${name(element)} holds ${element.scrollWidth} px in ${element.clientWidth}`);
    }
    const picture = document.querySelector(".picture")?.getBoundingClientRect();
    if (!picture || picture.width < 200 || picture.height < 150)
      faults.push(`the picture is ${picture?.width} × ${picture?.height} px`);
    return faults;
  });
}
