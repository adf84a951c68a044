import { NOT_SCALED } from "../mold/marks.ts";
import type { MoldModel } from "../mold/model.ts";

/** What a file of a mold calls it: its name, with a warning where the printer is still to scale it. */
export function titleOf({ name, clay }: MoldModel): string {
  return clay.total === 0 ? `${NOT_SCALED} ${name}` : name;
}
