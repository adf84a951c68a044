import type { BrowserContext, Frame, Locator, Page } from "playwright-core";
import { readShares, type Shares } from "./pixels.ts";

/** A window of the editor as somebody in front of it has it. */
export class Workbench {
  readonly page: Page;
  /** Errors on the console of any frame, and violations of a content policy. */
  readonly complaints: string[] = [];

  private constructor(page: Page) {
    this.page = page;
    page.on("console", (message) => {
      const text = message.text();
      if (message.type() === "error" || /content security policy/i.test(text)) {
        this.complaints.push(`${text}  (${message.location().url})`);
      }
    });
    page.on("pageerror", (error) => this.complaints.push(String(error)));
  }

  /** `prepare` is called before the window loads anything. */
  static async open(
    browser: BrowserContext,
    address: string,
    prepare?: (page: Page) => Promise<unknown>,
  ): Promise<Workbench> {
    const page = await browser.newPage();
    // On a machine with much else to do.
    page.setDefaultTimeout(60_000);
    page.setDefaultNavigationTimeout(120_000);
    const workbench = new Workbench(page);
    await prepare?.(page);
    await page.goto(address, { waitUntil: "commit" });
    await page
      .locator(".monaco-workbench .explorer-folders-view .monaco-list-row")
      .first()
      .waitFor({ timeout: 150_000 });
    return workbench;
  }

  /**
   * Complaints about us: from the installed extension, its page, or a content policy. What the host
   * says of its own missing parts is none of them.
   */
  get ours(): string[] {
    const us = /slabwright\.slabwright-\d|preview\.(js|css)|content security policy/i;
    return this.complaints.filter((line) => us.test(line)).map((line) => line.slice(0, 500));
  }

  async openFile(name: string): Promise<void> {
    await this.page.keyboard.press("Control+p");
    const input = this.page.locator(".quick-input-widget input").first();
    await input.waitFor();
    await input.fill(name);
    await this.page.locator(".quick-input-list .monaco-list-row", { hasText: name }).first().waitFor();
    await this.page.keyboard.press("Enter");
    await this.page.locator(`.tab.active[data-resource-name="${name}"]`).waitFor();
    await this.page.locator(".editor-instance .view-lines").first().waitFor();
  }

  async command(title: string): Promise<void> {
    await this.page.keyboard.press("F1");
    const input = this.page.locator(".quick-input-widget input").first();
    await input.waitFor();
    await input.fill(`>${title}`);
    await this.page.locator(".quick-input-list .monaco-list-row", { hasText: title }).first().waitFor();
    await this.page.keyboard.press("Enter");
  }

  /** The text area of the editor that shows this file gets the focus, cursor at its start. */
  async focusEditor(): Promise<void> {
    // Near its left edge: the lines reach under the scroll bar.
    await this.page
      .locator(".editor-instance .view-lines")
      .first()
      .click({ position: { x: 30, y: 8 } });
    await this.page.keyboard.press("Control+Home");
  }

  /** The page inside the preview's frames, once it has drawn its controls. */
  async preview(): Promise<Frame> {
    const end = Date.now() + 150_000;
    while (Date.now() < end) {
      for (const frame of this.page.frames()) {
        if (
          frame.isDetached() ||
          (!frame.url().includes("vscode-webview") && !frame.url().includes("fake.html"))
        )
          continue;
        const main = await frame.$("main .picture canvas").catch(() => null);
        if (main) return frame;
      }
      await this.page.waitForTimeout(100);
    }
    const frames = this.page.frames().map((frame) => frame.url().slice(0, 120));
    throw new Error(`no preview came; frames: ${frames.join(" ")}; console: ${this.complaints.join(" | ")}`);
  }

  async shares(what: Locator): Promise<Shares> {
    return readShares(this.page, await what.screenshot());
  }

  /** Waits until the picture is one that `good` accepts; throws with the last one's numbers. */
  async waitForPicture(what: Locator, good: (shares: Shares) => boolean, limitMs = 60_000): Promise<Shares> {
    const end = Date.now() + limitMs;
    for (;;) {
      const shares = await this.shares(what);
      if (good(shares)) return shares;
      if (Date.now() > end) throw new Error(`the picture stayed at ${JSON.stringify(shares)}`);
      await this.page.waitForTimeout(250);
    }
  }

  /** The picture once it does not change any more: a slow renderer draws it again in finer steps. */
  async settledPicture(what: Locator, limitMs = 90_000): Promise<Shares> {
    const end = Date.now() + limitMs;
    let last = await this.shares(what);
    for (let same = 0; same < 2;) {
      if (Date.now() > end) throw new Error("the picture did not come to rest");
      await this.page.waitForTimeout(400);
      const next = await this.shares(what);
      same = next.print === last.print ? same + 1 : 0;
      last = next;
    }
    return last;
  }

  async close(): Promise<void> {
    await this.page.close();
  }
}
