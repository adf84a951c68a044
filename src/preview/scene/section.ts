import {
  AlwaysStencilFunc,
  BackSide,
  Color,
  DecrementWrapStencilOp,
  DoubleSide,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  Mesh,
  MeshBasicMaterial,
  NotEqualStencilFunc,
  Plane,
  PlaneGeometry,
  ReplaceStencilOp,
  Vector3,
  type Box3,
} from "three";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";
import { capMaterial } from "./hatch.ts";
import type { Palette, Theme } from "./palette.ts";
import type { Piece } from "./piece.ts";
import { slice } from "./slice.ts";

/** A plane through the picture, square to an axis of the mold. */
export interface SectionCut {
  axis: "x" | "y" | "z";
  /** Where along the axis, 0 … 1 of what can be seen of clay and mold. */
  share: number;
  /** Cut away the other side: back, left, below. Otherwise what is right, in front, above. */
  flip?: boolean;
}

/**
 * The plane lies this much beside the place asked for, towards what stays, mm: seams often lie
 * exactly at the middle, and faces in the plane itself would be neither cut nor whole.
 */
const beside = 1e-3;

/** Drawn after everything solid, one piece after another. */
const firstOrder = 10;

/**
 * Caps where pieces are cut open. For each piece the stencil counts back faces against front faces
 * of what stays: where they are not equal, the ray to the eye left the solid through the cut, and
 * there the plane is drawn in the piece's own hatching. Counted without regard to depth and one
 * piece at a time, so pieces may stand behind and in one another.
 */
export class Section {
  readonly object = new Group();
  /** What lies on its negative side is cut away; null when nothing is. */
  plane: Plane | null = null;
  readonly #plane = new Plane();
  readonly #planes = [this.#plane];
  readonly #palette: Palette;
  readonly #quad = new PlaneGeometry(1, 1);
  readonly #backs = stencilled(BackSide, IncrementWrapStencilOp, this.#planes);
  readonly #fronts = stencilled(FrontSide, DecrementWrapStencilOp, this.#planes);
  readonly #line = new LineMaterial({ linewidth: 1.6 });
  readonly #caps = new Map<string, ReturnType<typeof capMaterial>>();

  constructor(palette: Palette) {
    this.#palette = palette;
  }

  /** The extent of `box` along the axis of the cut, and where its plane lies, mm. */
  static place({ axis, share }: SectionCut, box: Box3): { from: number; to: number; at: number } {
    const from = box.isEmpty() ? 0 : box.min[axis];
    const to = box.isEmpty() ? 0 : box.max[axis];
    return { from, to, at: from + Math.max(0, Math.min(1, share)) * (to - from) };
  }

  /** What materials of the scene are to be clipped by. */
  get planes(): Plane[] {
    return this.plane === null ? [] : this.#planes;
  }

  /** Cuts the pieces where they stand now. `box` is what can be seen of clay and mold. */
  update(cut: SectionCut | null, pieces: readonly Piece[], box: Box3): void {
    this.#clear();
    this.plane = cut === null ? null : this.#plane;
    this.#palette.cutBy(this.planes);
    if (cut === null) return;
    const { at } = Section.place(cut, box);
    // The side that stays: behind a cut across, left of one along, below a level one.
    const stays = (cut.axis === "y" ? 1 : -1) * (cut.flip ? -1 : 1);
    const normal = new Vector3();
    normal[cut.axis] = stays;
    this.#plane.set(normal, -stays * at - beside);

    let order = firstOrder;
    for (const piece of pieces) {
      if (!piece.object.visible) continue;
      const { position } = piece.object;
      const local = this.#plane.clone();
      local.constant += normal.dot(position);
      const outline = slice(piece.shape.points, piece.shape.triangles, local);
      if (outline.length === 0) continue;

      const group = new Group();
      group.position.copy(position);
      for (const material of [this.#backs, this.#fronts]) {
        const count = new Mesh(piece.shape.faces, material);
        count.renderOrder = order;
        group.add(count);
      }
      const cap = new Mesh(this.#quad, this.#cap(piece, normal));
      const bounds = piece.box;
      local.projectPoint(bounds.getCenter(new Vector3()), cap.position);
      cap.scale.setScalar(1.1 * bounds.getSize(new Vector3()).length());
      cap.lookAt(cap.position.clone().add(normal));
      cap.renderOrder = order + 1;
      cap.onAfterRender = (renderer) => renderer.clearStencil();
      group.add(cap);

      const geometry = new LineSegmentsGeometry();
      geometry.setPositions(outline);
      const line = new LineSegments2(geometry, this.#line);
      line.renderOrder = order + 2;
      group.add(line);
      this.object.add(group);
      order += 3;
    }
  }

  /** Keeps hatching equally dense on the screen: `pixel` is the size of one, mm, where the plane is. */
  scaleHatching(pixel: number): void {
    for (const material of this.#caps.values()) material.uniforms.pixel.value = pixel;
  }

  followTheme(theme: Theme): void {
    this.#line.color.copy(
      theme.highContrast ? theme.foreground : new Color(theme.dark ? 0x0d1418 : 0x1a2328),
    );
  }

  #cap(piece: Piece, normal: Vector3): ReturnType<typeof capMaterial> {
    const { tone, pattern, turn } = this.#palette.cut(piece.role, piece.turn);
    const name = [piece.role, turn, normal.toArray()].join();
    let made = this.#caps.get(name);
    if (!made) {
      made = capMaterial(tone, pattern, turn, normal);
      made.side = DoubleSide;
      made.stencilWrite = true;
      made.stencilRef = 0;
      made.stencilFunc = NotEqualStencilFunc;
      made.stencilFail = made.stencilZFail = made.stencilZPass = ReplaceStencilOp;
      this.#caps.set(name, made);
    }
    return made;
  }

  #clear(): void {
    for (const group of this.object.children)
      for (const child of group.children) if (child instanceof LineSegments2) child.geometry.dispose();
    this.object.clear();
  }
}

function stencilled(
  side: typeof BackSide | typeof FrontSide,
  op: typeof IncrementWrapStencilOp | typeof DecrementWrapStencilOp,
  planes: Plane[],
): MeshBasicMaterial {
  return new MeshBasicMaterial({
    side,
    clippingPlanes: planes,
    colorWrite: false,
    depthWrite: false,
    depthTest: false,
    stencilWrite: true,
    stencilFunc: AlwaysStencilFunc,
    stencilFail: op,
    stencilZFail: op,
    stencilZPass: op,
  });
}
