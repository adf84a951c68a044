// The package's own entry does not load in Node and its types do not resolve there; this is the
// part of its ES module that is used here.
declare module "maxrects-packer/dist/maxrects-packer.mjs" {
  export interface PackedBox<T> {
    x: number;
    y: number;
    width: number;
    height: number;
    /** Turned a quarter. */
    rot: boolean;
    data: T;
  }

  export class MaxRectsPacker<T> {
    constructor(
      width: number,
      height: number,
      padding: number,
      options: { smart: boolean; pot: boolean; square: boolean; allowRotation: boolean; border: number },
    );
    readonly bins: { rects: PackedBox<T>[] }[];
    add(width: number, height: number, data: T): PackedBox<T>;
  }
}
