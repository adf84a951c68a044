import * as vscode from "vscode";
import { randomBytes } from "node:crypto";

/** The page of a preview: nothing but our own script and style may run in it. */
export function previewHtml(webview: vscode.Webview, dist: vscode.Uri): string {
  const nonce = randomBytes(16).toString("base64url");
  const file = (name: string) => webview.asWebviewUri(vscode.Uri.joinPath(dist, name)).toString();
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${webview.cspSource}`;
  return `<!doctype html>
<html lang="${vscode.env.language}">
  <head>
    <meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy" content="${policy}" />
    <meta name="viewport" content="width=device-width" />
    <link rel="stylesheet" href="${file("preview.css")}" />
    <title>Slabwright</title>
  </head>
  <body>
    <script nonce="${nonce}" src="${file("preview.js")}"></script>
  </body>
</html>`;
}
