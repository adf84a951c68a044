import modeling from "@jscad/modeling";
import type { Packages } from "../evaluate/index.ts";
import * as kit from "../index.ts";

/** What a design may import by name. */
export const packages: Packages = {
  slabwright: kit,
  "@jscad/modeling": { ...modeling, default: modeling },
};
