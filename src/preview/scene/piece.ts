import { Group, LineSegments, Mesh, Vector3, type Box3 } from "three";
import type { PreviewSurface } from "../../../shared/preview.ts";
import type { Palette } from "./palette.ts";
import { Shape } from "./shape.ts";

/** A surface of the mold as it stands in the scene. */
export interface Piece {
  name: string;
  role: PreviewSurface["role"];
  /** Its place among the surfaces of its role, from 0; neighbours are drawn a little apart in tone. */
  turn: number;
  /** Unit direction in which it is taken apart, or null. */
  apart: Vector3 | null;
  /** Mold frame, mm, before it is moved. */
  box: Box3;
  triangles: number;
  shape: Shape;
  object: Group;
}

/** Turns surfaces into pieces and keeps the drawn form of those that do not change. */
export class Pieces {
  readonly #palette: Palette;
  #shapes = new Map<string, Shape>();

  constructor(palette: Palette) {
    this.#palette = palette;
  }

  /**
   * Pieces of every surface. Throws `MissingGeometry` when one comes without geometry and was not
   * in the build before; then nothing has changed.
   */
  take(surfaces: PreviewSurface[]): Piece[] {
    const shapes = new Map<string, Shape>();
    for (const { digest, geometry, name } of surfaces) {
      const known = shapes.get(digest) ?? this.#shapes.get(digest);
      if (known) shapes.set(digest, known);
      else if (geometry) shapes.set(digest, new Shape(geometry));
      else throw new MissingGeometry(name);
    }
    for (const [digest, old] of this.#shapes) if (!shapes.has(digest)) old.dispose();
    this.#shapes = shapes;
    const turns = new Map<string, number>();
    return surfaces.map((surface) => {
      const turn = turns.get(surface.role) ?? 0;
      turns.set(surface.role, turn + 1);
      return this.#piece(surface, shapes.get(surface.digest) as Shape, turn);
    });
  }

  #piece({ name, role, apart }: PreviewSurface, shape: Shape, turn: number): Piece {
    const object = new Group();
    object.add(new Mesh(shape.faces, this.#palette.face(role, turn)));
    const edges = new LineSegments(shape.edges, this.#palette.edge(role));
    edges.userData.edges = true;
    object.add(edges);
    return {
      name,
      role,
      turn,
      apart: apart === null ? null : new Vector3(...apart),
      box: shape.box,
      triangles: shape.count,
      shape,
      object,
    };
  }
}

export class MissingGeometry extends Error {
  override readonly name = "MissingGeometry";
}
