import { findingCodes, type FindingCode } from "./finding.ts";
import type { MessageCode } from "./messages.ts";
import type { ProblemCode } from "./problems.ts";

/** Pages for what is told by many codes of one kind. */
export const helpFamilies = [
  "kit-call",
  "design-text",
  "design-imports",
  "design-run",
  "design-limits",
  "export-folder",
  "no-fix",
] as const;
export type HelpFamily = (typeof helpFamilies)[number];
export type HelpPage = FindingCode | HelpFamily;

type KitCode = Extract<MessageCode, `kit-${string}`>;
type RefusalCode = "format-not-yet" | "folder-not-ours" | "folder-unwritable";

const families: Record<KitCode | ProblemCode | RefusalCode, HelpFamily> = {
  "kit-unknown-key": "kit-call",
  "kit-not-a-number": "kit-call",
  "kit-out-of-range": "kit-call",
  "kit-missing": "kit-call",
  "kit-wrong-type": "kit-call",
  "kit-conflict": "kit-call",
  "kit-not-yet": "kit-call",
  "kit-looks-like-percent": "kit-call",

  syntax: "design-text",
  "no-enum": "design-text",
  "no-namespace": "design-text",
  "no-parameter-property": "design-text",
  "no-angle-assertion": "design-text",
  "no-top-level-await": "design-text",
  "no-import-equals": "design-text",
  "no-export-equals": "design-text",
  "no-dynamic-import": "design-text",
  "no-import-meta": "design-text",
  "no-decorator": "design-text",
  "no-live-export": "design-text",
  "no-bare-default": "design-text",
  "default-twice": "design-text",

  "import-package": "design-imports",
  "import-kind": "design-imports",
  "import-not-found": "design-imports",
  "import-outside": "design-imports",
  "import-no-name": "design-imports",
  "import-no-default": "design-imports",
  "import-circle": "design-imports",
  "json-syntax": "design-imports",
  "text-too-long": "design-text",
  "file-unreadable": "design-imports",

  "no-default": "design-run",
  "export-proxy": "design-run",
  "param-twice": "design-run",
  thrown: "design-run",
  "thrown-value": "design-run",
  "promise-rejected": "design-run",
  "stack-overflow": "design-run",

  "time-limit": "design-limits",
  "time-limit-unknown": "design-limits",
  "memory-limit": "design-limits",
  "memory-limit-unknown": "design-limits",

  "format-not-yet": "export-folder",
  "folder-not-ours": "export-folder",
  "folder-unwritable": "export-folder",

  "edit-value-from": "no-fix",
  "edit-value-shared": "no-fix",
  "edit-value-import": "no-fix",
  "edit-value-computed": "no-fix",
  "edit-spread": "no-fix",
  "edit-no-argument": "no-fix",
  "edit-no-call": "no-fix",
  "edit-no-literal": "no-fix",
  "edit-name-taken": "no-fix",
};

const pages: ReadonlyMap<string, HelpPage> = new Map<string, HelpPage>([
  ...findingCodes.map((code) => [code, code] as const),
  ...Object.entries(families),
]);

/** The page in `docs/findings` that explains a code of a finding or a problem; undefined for no such code. */
export function helpPage(code: string): HelpPage | undefined {
  return pages.get(code);
}
