import * as vscode from "vscode";
import { commandIds } from "./commands/ids.ts";
import { isDesign } from "./design/identity.ts";
import type { Session } from "./session.ts";

const previewType = "slabwright.preview";

/**
 * Only registers. What works on designs is another file, read when the first design comes into
 * sight, a preview comes back or a command is called; the engine process starts with it.
 */
export function activate({ extensionUri, subscriptions }: vscode.ExtensionContext): void {
  const log = vscode.window.createOutputChannel("Slabwright", { log: true });
  subscriptions.push(log);

  let session: Promise<Session> | undefined;
  const start = (): Promise<Session> =>
    (session ??= import("./session.ts").then((module) => {
      const started = new module.Session(extensionUri, log);
      subscriptions.push(started);
      return started;
    }));

  const startForDesign = (): void => {
    const seen = vscode.window.visibleTextEditors.some(({ document }) => isDesign(document.uri));
    if (!seen || !vscode.workspace.isTrusted || session) return;
    start().catch((error: unknown) => {
      log.error(error instanceof Error ? error : String(error));
      void vscode.window.showErrorMessage(
        vscode.l10n.t(
          "Slabwright could not start: {0}. Its log says more; reinstalling it may help.",
          String(error),
        ),
      );
    });
  };
  subscriptions.push(
    vscode.window.onDidChangeVisibleTextEditors(startForDesign),
    vscode.workspace.onDidGrantWorkspaceTrust(startForDesign),
    vscode.window.registerWebviewPanelSerializer(previewType, {
      deserializeWebviewPanel: async (panel, state) => (await start()).restorePreview(panel, state),
    }),
    ...commandIds.map((id) =>
      vscode.commands.registerCommand(`slabwright.${id}`, async (argument: unknown) =>
        (await start()).run(id, argument),
      ),
    ),
  );
  startForDesign();
}
