import { build, type BuildOptions } from "esbuild";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import type {} from "./page.ts";

const root = join(import.meta.dirname, "../..");

export const themes = {
  light: { kind: "vscode-light", background: "#ffffff", foreground: "#3b3b3b", focus: "#005fb8" },
  dark: { kind: "vscode-dark", background: "#1f1f1f", foreground: "#cccccc", focus: "#0078d4" },
  "hc-black": {
    kind: "vscode-high-contrast",
    background: "#000000",
    foreground: "#ffffff",
    focus: "#f38518",
  },
  "hc-light": {
    kind: "vscode-high-contrast-light",
    background: "#ffffff",
    foreground: "#292929",
    focus: "#006bbd",
  },
} as const;
export type ThemeName = keyof typeof themes;

async function bundle(options: BuildOptions): Promise<string> {
  const { outputFiles } = await build({ ...options, bundle: true, write: false, logLevel: "warning" });
  return outputFiles[0].text;
}

let bundled: Promise<[script: string, style: string]> | undefined;

/** The picture in a page of its own, started and empty. */
export async function openStage(
  browser: Browser,
  { width, height }: { width: number; height: number },
  theme: ThemeName,
): Promise<Page> {
  bundled ??= Promise.all([
    bundle({ entryPoints: [join(import.meta.dirname, "page.ts")], format: "iife", target: "es2023" }),
    bundle({ entryPoints: [join(root, "src/preview/preview.css")] }),
  ]);
  const [script, style] = await bundled;
  const page = await browser.newPage({ viewport: { width, height } });
  page.on("console", (message) => {
    if (message.type() === "error") console.error(message.text());
  });
  page.on("pageerror", (error) => console.error(error));
  const { kind, background, foreground, focus } = themes[theme];
  await page.setContent(`<!doctype html>
    <html style="--vscode-editor-background: ${background}; --vscode-editor-foreground: ${foreground};
      --vscode-focusBorder: ${focus}; --vscode-font-family: sans-serif;
      --vscode-editorError-foreground: #f14c4c; --vscode-editorWarning-foreground: #b98514;">
    <body data-vscode-theme-kind="${kind}" class="${kind === "vscode-high-contrast-light" ? `vscode-high-contrast ${kind}` : kind}">
      <main><div class="stage"><div class="picture"><canvas></canvas><div class="labels"></div></div></div></main>
    </body></html>`);
  await page.addStyleTag({ content: style });
  await page.addScriptTag({ content: script });
  await page.evaluate(() => window.startStage());
  return page;
}
