import {
  Box3,
  BufferAttribute,
  BufferGeometry,
  Group,
  LineSegments,
  Mesh,
  Vector3,
  type Material,
} from "three";
import type { PreviewGeometry, PreviewSurface } from "../../../shared/preview.ts";
import { creasedCorners, unpackPositions } from "./creased.ts";
import type { Palette } from "./palette.ts";

/** The drawn form of one geometry: kept as long as builds go on showing its digest. */
interface Drawn {
  faces: BufferGeometry;
  edges: BufferGeometry;
  box: Box3;
  triangles: number;
}

function draw(geometry: PreviewGeometry): Drawn {
  const points = unpackPositions(geometry.positions, geometry.min, geometry.max);
  const corners = creasedCorners(points, geometry.triangles);
  const faces = new BufferGeometry();
  faces.setAttribute("position", new BufferAttribute(corners.positions, 3));
  faces.setAttribute("normal", new BufferAttribute(corners.normals, 3));
  const edges = new BufferGeometry();
  edges.setAttribute("position", new BufferAttribute(points, 3));
  edges.setIndex(new BufferAttribute(geometry.edges, 1));
  const box = new Box3(new Vector3(...geometry.min), new Vector3(...geometry.max));
  faces.boundingBox = box;
  return { faces, edges, box, triangles: geometry.triangles.length / 3 };
}

/** A surface of the mold as it stands in the scene. */
export interface Piece {
  name: string;
  role: PreviewSurface["role"];
  /** Unit direction in which it is taken apart, or null. */
  apart: Vector3 | null;
  /** Mold frame, mm, before it is moved. */
  box: Box3;
  triangles: number;
  object: Group;
}

/** Turns surfaces into pieces and keeps the drawn form of those that do not change. */
export class Pieces {
  readonly #palette: Palette;
  #drawn = new Map<string, Drawn>();

  constructor(palette: Palette) {
    this.#palette = palette;
  }

  /**
   * Pieces of every surface. Throws `MissingGeometry` when one comes without geometry and was not
   * in the build before; then nothing has changed.
   */
  take(surfaces: PreviewSurface[]): Piece[] {
    const drawn = new Map<string, Drawn>();
    for (const { digest, geometry, name } of surfaces) {
      const known = drawn.get(digest) ?? this.#drawn.get(digest);
      if (known) drawn.set(digest, known);
      else if (geometry) drawn.set(digest, draw(geometry));
      else throw new MissingGeometry(name);
    }
    for (const [digest, old] of this.#drawn) {
      if (drawn.has(digest)) continue;
      old.faces.dispose();
      old.edges.dispose();
    }
    this.#drawn = drawn;
    const turns = new Map<string, number>();
    return surfaces.map((surface) => {
      const turn = turns.get(surface.role) ?? 0;
      turns.set(surface.role, turn + 1);
      return this.#piece(surface, drawn.get(surface.digest) as Drawn, turn);
    });
  }

  #piece({ name, role, apart }: PreviewSurface, drawn: Drawn, turn: number): Piece {
    const face: Material = this.#palette.face(role, turn);
    const object = new Group();
    object.add(new Mesh(drawn.faces, face));
    const edges = new LineSegments(drawn.edges, this.#palette.edge(role));
    edges.userData.edges = true;
    object.add(edges);
    return {
      name,
      role,
      apart: apart === null ? null : new Vector3(...apart),
      box: drawn.box,
      triangles: drawn.triangles,
      object,
    };
  }
}

export class MissingGeometry extends Error {
  override readonly name = "MissingGeometry";
}
