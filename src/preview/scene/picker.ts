import { DoubleSide, Ray, Vector3, type Plane } from "three";
import type { Piece } from "./piece.ts";
import type { FaceRun } from "./shape.ts";

/** What a ray meets first. */
export interface Hit {
  piece: Piece;
  /** The faces it belongs to; on a cut, the largest run of the piece. */
  run: FaceRun | undefined;
  /** mm along the ray. */
  distance: number;
}

/**
 * What `ray` (mold frame) meets first of the pieces in sight, nearer than `far`. What lies on the
 * negative side of `cut` is not there; a ray that enters a solid through the cut meets it there.
 */
export function firstHit(
  ray: Ray,
  pieces: readonly Piece[],
  cut: Plane | null,
  far = Infinity,
): Hit | undefined {
  let best: Hit | undefined;
  const local = new Ray();
  const point = new Vector3();
  const through = cut ? ray.distanceToPlane(cut) : null;
  for (const piece of pieces) {
    if (!piece.object.visible) continue;
    local.copy(ray);
    local.origin.sub(piece.object.position);
    if (!local.intersectsBox(piece.box)) continue;
    const reach = best?.distance ?? far;
    if (!cut) {
      const hit = piece.shape.tree.raycastFirst(local, DoubleSide, 0, reach);
      if (hit) best = { piece, run: runAt(piece, hit.faceIndex), distance: hit.distance };
      continue;
    }
    const kept = piece.shape.tree
      .raycast(local, DoubleSide, 0, Infinity)
      .filter(({ distance }) => cut.distanceToPoint(ray.at(distance, point)) >= 0)
      .sort((a, b) => a.distance - b.distance);
    const [hit] = kept;
    if (!hit) continue;
    const inside = hit.face !== undefined && hit.face !== null && hit.face.normal.dot(ray.direction) > 0;
    if (inside && through !== null && through > 0 && through <= hit.distance) {
      if (through < reach) best = { piece, run: largest(piece.shape.runs), distance: through };
    } else if (hit.distance < reach) {
      best = { piece, run: runAt(piece, hit.faceIndex), distance: hit.distance };
    }
  }
  return best;
}

function runAt(piece: Piece, index: number | null | undefined): FaceRun | undefined {
  return index === null || index === undefined ? undefined : piece.shape.runOf(index);
}

function largest(runs: readonly FaceRun[]): FaceRun | undefined {
  return runs.reduce<FaceRun | undefined>(
    (most, run) => (most === undefined || run.count > most.count ? run : most),
    undefined,
  );
}
