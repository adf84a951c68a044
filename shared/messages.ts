import type { MessageArgs } from "./finding.ts";

/**
 * English sentences by code. `{name}` is replaced by the argument of that name. The command line
 * and the manifest print these; the editor renders the same templates in the maker's language.
 * Clay first, number second, next step last.
 */
export const messages = {
  // Misuse of the kit. Every one opens with {call}, the call as the maker wrote it.
  "kit-unknown-key": "{call}: there is no option “{key}”. Allowed: {allowed}.",
  "kit-not-a-number": "{call}: {key} must be a finite number, got {value}.",
  "kit-out-of-range": "{call}: {key} is {value}; allowed is {allowed}.",
  "kit-missing": "{call}: {key} is missing. {allowed}",
  "kit-wrong-type": "{call}: {key} must be {allowed}, got {value}.",
  "kit-conflict": "{call}: {reason}",
  "kit-not-yet": "{call}: {key} is not in this version of Slabwright yet. {allowed}",
  "kit-looks-like-percent":
    "{call}: {key} is {value}, which looks like per cent. Write it as a fraction: {fraction}.",
} as const satisfies Record<string, string>;

export type MessageCode = keyof typeof messages;

/** Fills a template. A placeholder without an argument is our own fault and throws. */
export function renderTemplate(template: string, args: MessageArgs): string {
  return template.replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = args[name];
    if (value === undefined) throw new Error(`message argument missing: ${name} in “${template}”`);
    return String(value);
  });
}

export function renderMessage(code: MessageCode, args: MessageArgs): string {
  return renderTemplate(messages[code], args);
}
