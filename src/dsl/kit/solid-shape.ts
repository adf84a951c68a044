import type { Mesh } from "../solid/mesh.ts";
import type { Body } from "./body.ts";
import type { Outline } from "./outline.ts";

export type PathPoint = readonly [number, number, number];

/** A body that is not made of level sections; fired frame, mm. */
export type SolidShape =
  | {
      readonly kind: "sweep";
      readonly outline: Outline;
      readonly path: readonly PathPoint[];
      /** Size of the outline at the end of the path, of that at its start. */
      readonly taper: number;
      /** How much longer it is at each end, mm, to be pared. */
      readonly ends: number;
    }
  | {
      readonly kind: "mesh";
      readonly mesh: Mesh;
      /** What a maker calls it: a file's name, or "a solid". */
      readonly from: string;
      /** It stays as high as it is, and is not set down on z = 0. */
      readonly stays: boolean;
    }
  | { readonly kind: "trim"; readonly body: Body; readonly by: Body };
