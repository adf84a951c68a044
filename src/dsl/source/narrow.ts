import type { Target } from "../../../shared/place.ts";
import type { Call } from "./calls.ts";
import type { SourceModule } from "./module.ts";
import { placed } from "./tree.ts";
import { findKey, findValue } from "./values.ts";

/** The narrowest range that a message about `target` can underline: the option's name or its value, the argument, the call. */
export function narrowRange(
  module: SourceModule,
  call: Call,
  target: Pick<Target, "argument" | "path" | "ofKey">,
): { start: number; end: number } {
  const whole = { start: module.calls.readStart(call), end: call.end };
  if (target.argument === undefined) return whole;
  const path = [...(target.path ?? [])];
  const key = target.ofKey ? findKey(module, call, target.argument, path) : undefined;
  if (key) return placed(key);
  for (;;) {
    const found = findValue(module, call, target.argument, path);
    if (found.kind === "value") return placed(found.node);
    if (found.kind === "obstacle" && found.nearest) return placed(found.nearest);
    if (path.pop() === undefined) return whole;
  }
}
