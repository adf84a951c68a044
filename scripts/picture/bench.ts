import { Euler, Matrix4, Vector3 } from "three";
import type { ManifestMold, ManifestPart } from "../../shared/manifest.ts";
import type { Mesh } from "../../src/dsl/solid/mesh.ts";
import { hollowClay } from "./hollow.ts";
import type { Material } from "./still.ts";

/** A solid on the table. */
export interface Thing {
  mesh: Mesh;
  place: Matrix4;
  color: number;
  material: Material;
}

const CLAY = 0xb0674a;
const PLASTIC = 0x8fb3ab;
const CUTTER = 0xdcb668;

/** The parts of one exported mold, to be laid out on a table. */
export class Bench {
  readonly mold: ManifestMold;
  readonly #meshes: ReadonlyMap<string, Mesh>;

  constructor(mold: ManifestMold, meshes: ReadonlyMap<string, Mesh>) {
    this.mold = mold;
    this.#meshes = meshes;
  }

  /** Width, depth and height of the wet pot. */
  get size(): readonly number[] {
    return this.mold.wet.size;
  }

  part(name: string): ManifestPart {
    const part = this.mold.parts.find((one) => one.name === name);
    if (!part) throw new Error(`${this.mold.name} has no ${name}`);
    return part;
  }

  /** The clay where it lies in the mold, as thick as its slab. */
  clay(): Thing {
    const part = this.part("vessel");
    const mesh = this.#mesh("vessel");
    const { slab } = this.mold.build;
    return {
      mesh: slab === "solid" ? mesh : hollowClay(mesh, slab),
      place: new Matrix4().fromArray(part.toMold),
      color: CLAY,
      material: "clay",
    };
  }

  /** A part where it is in the closed mold, drawn off along its pull by so many mm. */
  drawn(name: string, mm: number): Thing {
    const thing = this.#printed(name, new Matrix4().fromArray(this.part(name).toMold));
    const [x, y, z] = this.part(name).pull ?? [0, 0, 0];
    return by(thing, x * mm, y * mm, Math.max(0, z * mm));
  }

  /** A wall on its back, the side that the clay touches up, turned by so many degrees; its middle at (x, y). */
  onBack(name: string, x: number, y: number, degrees: number): Thing {
    const { toMold, pull } = this.part(name);
    if (!pull) throw new Error(`${name} does not leave`);
    const up = new Vector3(...pull).negate();
    const turn = new Matrix4().makeBasis(...basis(up)).transpose();
    const thing = this.#printed(name, turn.multiply(new Matrix4().fromArray(toMold)));
    return settled(turned(thing, degrees), x, y);
  }

  /** A part the way it prints, its middle at (x, y). */
  flat(name: string, x: number, y: number, degrees = 0): Thing {
    return settled(turned(this.#printed(name, new Matrix4()), degrees), x, y);
  }

  #printed(name: string, place: Matrix4): Thing {
    const { role } = this.part(name);
    const color = role === "cutter" || role === "rail" ? CUTTER : PLASTIC;
    return { mesh: this.#mesh(name), place, color, material: "plastic" };
  }

  #mesh(name: string): Mesh {
    const mesh = this.#meshes.get(name);
    if (!mesh) throw new Error(`${name} has no mesh`);
    return mesh;
  }
}

/** Three directions square to each other, the last of them `up`. */
function basis(up: Vector3): [Vector3, Vector3, Vector3] {
  const z = up.clone().normalize();
  const other = Math.abs(z.z) < 0.9 ? new Vector3(0, 0, 1) : new Vector3(0, 1, 0);
  const x = other.clone().cross(z).normalize();
  return [x, z.clone().cross(x), z];
}

export function by(thing: Thing, x: number, y: number, z: number): Thing {
  return { ...thing, place: new Matrix4().makeTranslation(x, y, z).multiply(thing.place) };
}

export function turned(thing: Thing, degrees: number, axis: "x" | "y" | "z" = "z"): Thing {
  const angle = (degrees * Math.PI) / 180;
  const euler = new Euler(axis === "x" ? angle : 0, axis === "y" ? angle : 0, axis === "z" ? angle : 0);
  return { ...thing, place: new Matrix4().makeRotationFromEuler(euler).multiply(thing.place) };
}

/** Set down on the table with its middle at (x, y). */
export function settled(thing: Thing, x: number, y: number): Thing {
  const { min, max } = extent([thing]);
  return by(thing, x - (min.x + max.x) / 2, y - (min.y + max.y) / 2, -min.z);
}

/** Places of all corners on the table. */
export function corners(things: readonly Thing[]): Vector3[] {
  return things.flatMap(({ mesh: { positions: p }, place }) =>
    Array.from({ length: p.length / 3 }, (_, i) =>
      new Vector3(p[3 * i], p[3 * i + 1], p[3 * i + 2]).applyMatrix4(place),
    ),
  );
}

export function extent(things: readonly Thing[]): { min: Vector3; max: Vector3 } {
  const [min, max] = [new Vector3().setScalar(Infinity), new Vector3().setScalar(-Infinity)];
  for (const corner of corners(things)) {
    min.min(corner);
    max.max(corner);
  }
  return { min, max };
}
