import { Box3, BufferAttribute, BufferGeometry, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import type { PreviewGeometry } from "../../../shared/preview.ts";
import { creasedCorners, unpackPositions } from "./creased.ts";

/** A run of triangles that one call made. `start` and `count` in triangles, `call` -1 where none did. */
export type FaceRun = PreviewGeometry["groups"][number];

/**
 * The drawn form of one geometry, mold frame, mm: triangles with normals at their corners, crisp
 * edges, and what else is asked of the surface. Kept as long as builds go on showing its digest.
 */
export class Shape {
  /** Three corners a triangle, not shared, in the order of `triangles`. */
  readonly faces = new BufferGeometry();
  readonly edges = new BufferGeometry();
  readonly box: Box3;
  /** Shared vertices, xyz. */
  readonly points: Float32Array;
  /** Indices into `points`. */
  readonly triangles: Uint16Array | Uint32Array;
  readonly runs: readonly FaceRun[];
  #lit: BufferGeometry | undefined;
  #tree: MeshBVH | undefined;

  constructor(geometry: PreviewGeometry) {
    this.points = unpackPositions(geometry.positions, geometry.min, geometry.max);
    this.triangles = geometry.triangles;
    this.runs = geometry.groups;
    this.box = new Box3(new Vector3(...geometry.min), new Vector3(...geometry.max));
    const corners = creasedCorners(this.points, this.triangles);
    this.faces.setAttribute("position", new BufferAttribute(corners.positions, 3));
    this.faces.setAttribute("normal", new BufferAttribute(corners.normals, 3));
    this.faces.boundingBox = this.box;
    this.edges.setAttribute("position", new BufferAttribute(this.points, 3));
    this.edges.setIndex(new BufferAttribute(geometry.edges, 1));
  }

  get count(): number {
    return this.triangles.length / 3;
  }

  /** For rays; sorted at the first question, in a few ms for ten thousand triangles. */
  get tree(): MeshBVH {
    this.#tree ??= new MeshBVH(this.faces, { indirect: true });
    return this.#tree;
  }

  /** The same corners, to be drawn once more in part: its groups are the caller's. */
  get again(): BufferGeometry {
    if (!this.#lit) {
      this.#lit = new BufferGeometry();
      this.#lit.setAttribute("position", this.faces.attributes.position);
      this.#lit.boundingBox = this.box;
    }
    return this.#lit;
  }

  /** The run that triangle `index` belongs to. */
  runOf(index: number): FaceRun | undefined {
    return this.runs.find(({ start, count }) => index >= start && index < start + count);
  }

  dispose(): void {
    this.faces.dispose();
    this.edges.dispose();
    this.#lit?.dispose();
  }
}
