import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";

/** Parts whose draft is under the limit over a strip long enough to drag. */
export function draftLow(_built: BuiltMold): Finding[] {
  return [];
}
