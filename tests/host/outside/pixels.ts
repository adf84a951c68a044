import type { Page } from "playwright-core";

/** Shares of a picture, 0…1, by what its pixels look like. */
export interface Shares {
  /** Warm and saturated: clay. */
  clay: number;
  /** Cool and light: plastic. */
  plastic: number;
  /** Mean brightness, 0…255. */
  brightness: number;
  /** Sum over all pixels: differs when the picture does. */
  print: string;
}

/** Reads a PNG in a page of the browser; Node has no decoder. */
export async function readShares(page: Page, png: Buffer): Promise<Shares> {
  return page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const context = canvas.getContext("2d");
    if (!context) throw new Error("no 2D canvas");
    context.drawImage(bitmap, 0, 0);
    const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height);
    let clay = 0;
    let plastic = 0;
    let sum = 0;
    for (let i = 0; i < data.length; i += 4) {
      const [r, g, b] = [data[i], data[i + 1], data[i + 2]];
      if (r - b > 35 && r > g && g > b) clay++;
      if (b - r > 12 && b >= g && r > 40) plastic++;
      sum += r + g + b;
    }
    const pixels = data.length / 4;
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-1", data));
    return {
      clay: clay / pixels,
      plastic: plastic / pixels,
      brightness: sum / pixels / 3,
      print: [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join(""),
    };
  }, png.toString("base64"));
}
