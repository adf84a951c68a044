import * as vscode from "vscode";
import type { Design } from "./design/design.ts";
import type { Designs } from "./design/designs.ts";
import { isDesign } from "./design/identity.ts";
import { findingCount, firedAndWet } from "./language/words.ts";
import type { Previews } from "./panel/previews.ts";
import type { Settings } from "./settings.ts";

/** How the design in focus stands, in the status bar; a click opens its preview. */
export class Status implements vscode.Disposable {
  readonly #designs: Designs;
  readonly #previews: Previews;
  readonly #settings: Settings;
  readonly #item = vscode.window.createStatusBarItem("slabwright.status", vscode.StatusBarAlignment.Left, 0);
  readonly #subscriptions: vscode.Disposable[];

  constructor(designs: Designs, previews: Previews, settings: Settings) {
    this.#designs = designs;
    this.#previews = previews;
    this.#settings = settings;
    this.#item.name = vscode.l10n.t("Slabwright: Design");
    const update = () => this.#update();
    this.#subscriptions = [
      this.#item,
      designs.onDidChangeState(update),
      settings.onDidChange(update),
      vscode.window.onDidChangeActiveTextEditor(update),
      vscode.window.tabGroups.onDidChangeTabs(update),
    ];
    update();
  }

  #update(): void {
    const edited = vscode.window.activeTextEditor?.document.uri;
    const uri = this.#previews.active ?? (edited && isDesign(edited) ? edited : undefined);
    const design = uri && this.#designs.get(uri);
    if (!design) return this.#item.hide();
    const { text, spoken } = this.#stand(design);
    const sizes = (design.state.molds ?? []).map((mold) => {
      return `${mold.name}: ${firedAndWet(mold, this.#settings.units)}`;
    });
    this.#item.text = text;
    this.#item.accessibilityInformation = { label: `Slabwright, ${design.name}: ${spoken}` };
    this.#item.tooltip = [...sizes, vscode.l10n.t("Click to open the preview.")].join("\n");
    this.#item.command = {
      command: "slabwright.showPreview",
      title: vscode.l10n.t("Preview"),
      arguments: [{ uri: design.uri }],
    };
    this.#item.show();
  }

  #stand(design: Design): { text: string; spoken: string } {
    const { state, name } = design;
    const say = (icon: string, spoken: string) => ({ text: `$(${icon}) ${name}: ${spoken}`, spoken });
    if (state.problem) return say("error", vscode.l10n.t("does not run"));
    if (design.busy) return say("sync~spin", vscode.l10n.t("working"));
    if (state.build === 0 || !design.current) return say("circle-outline", vscode.l10n.t("not run yet"));
    const count = findingCount(state.findings);
    if (count === undefined) {
      const [mold] = state.molds ?? [];
      const size = mold ? ` ${firedAndWet(mold, "mm")}` : "";
      return { text: `$(check) ${name}:${size}`, spoken: vscode.l10n.t("sound,{0}", size) };
    }
    const worst = state.findings.some(({ severity }) => severity === "error") ? "error" : "warning";
    return say(state.findings.every(({ severity }) => severity === "info") ? "info" : worst, count);
  }

  dispose(): void {
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
