import type { CallId } from "../../../shared/place.ts";
import type { Mesh } from "./mesh.ts";

/** What made a triangle: the face of the mold it belongs to. */
export type Face =
  | "cavity"
  | "outside"
  | "seam"
  | "flange"
  | "gutter"
  | "rim"
  | "inside"
  | "foot"
  | "band"
  | "chamfer"
  | "key"
  | "floor"
  | "rib"
  | "vent"
  | "mark"
  | "pry"
  | "cutter";

/** A run of triangles of one face, with the call that asked for it. */
export interface FaceRun {
  face: Face;
  start: number;
  count: number;
  call: CallId;
}

/** A mesh whose triangles know what they are. */
export interface Tagged {
  mesh: Mesh;
  runs: FaceRun[];
}
