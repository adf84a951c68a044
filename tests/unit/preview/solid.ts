import { Group, Vector3 } from "three";
import type { PreviewGeometry } from "../../../shared/preview.ts";
import type { Piece } from "../../../src/preview/scene/piece.ts";
import { Shape } from "../../../src/preview/scene/shape.ts";
import { box as boxView } from "../../page/boxes.ts";

/** A box between two corners, mm, as a piece that stands in the scene. */
export function boxPiece(name: string, from: [number, number, number], to: [number, number, number]): Piece {
  const { role, geometry } = boxView(name, "wall", { from, to });
  const shape = new Shape(geometry as PreviewGeometry);
  return {
    name,
    role,
    turn: 0,
    apart: new Vector3(1, 0, 0),
    box: shape.box,
    triangles: shape.count,
    shape,
    object: new Group(),
  };
}
