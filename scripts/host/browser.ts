import { chromium, type Browser } from "playwright-core";

/** A Chromium that draws WebGL in software and speaks to nobody by itself. */
export function launchBrowser(path: string): Promise<Browser> {
  return chromium.launch({
    executablePath: path,
    headless: true,
    args: [
      "--no-sandbox",
      "--use-gl=angle",
      "--use-angle=swiftshader",
      "--enable-unsafe-swiftshader",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--no-first-run",
    ],
  });
}
