import type { ManifestMold, ManifestPart } from "../../shared/manifest.ts";
import type { Mesh } from "../../src/dsl/solid/mesh.ts";
import { boundsOf } from "../../src/dsl/solid/measure.ts";
import { hollowClay } from "./hollow.ts";
import type { Still, StillSolid } from "./still.ts";

const TABLE = 0xefe8dc;
const CLAY = 0xb9694a;
const PLASTIC = 0x9dbcb4;
const CUTTER = 0xe3c27a;

/** The clay in the middle of its mold: walls drawn off along their pull, the rest laid out before it. */
export function compose(mold: ManifestMold, meshes: ReadonlyMap<string, Mesh>): Still {
  const meshOf = ({ name }: ManifestPart): Mesh => {
    const mesh = meshes.get(name);
    if (!mesh) throw new Error(`${name} has no mesh`);
    return mesh;
  };
  const [wide, deep, tall] = mold.wet.size;
  const apart = 0.62 * Math.max(wide, deep);
  const solids: StillSolid[] = [];
  for (const part of mold.parts) {
    const mesh = meshOf(part);
    if (part.role === "vessel") {
      const clay = mold.build.slab === "solid" ? mesh : hollowClay(mesh, mold.build.slab);
      solids.push(solid(clay, part.toMold, CLAY, 0.92, 0.5));
    } else if (part.pull) {
      const [x, y, z] = part.pull;
      solids.push(
        solid(mesh, moved(part.toMold, [x * apart, y * apart, Math.max(0, z * apart)]), PLASTIC, 0.5, 0.03),
      );
    }
  }
  let left = -2.05 * wide;
  for (const part of mold.parts) {
    if (part.role === "vessel" || part.pull) continue;
    const mesh = meshOf(part);
    const { max } = boundsOf(mesh);
    solids.push(solid(mesh, moved(IDENTITY, [left, -0.75 * deep - max[1], 0]), CUTTER, 0.5, 0.03));
    left += max[0] + 20;
  }
  const lookAt: [number, number, number] = [-0.3 * wide, -0.16 * deep, 0.36 * tall];
  return {
    width: 1600,
    height: 960,
    passes: Number(process.env["PASSES"] ?? 160),
    eye: [lookAt[0] - 0.9 * tall, lookAt[1] - 6.4 * tall, 3.5 * tall],
    lookAt,
    fieldOfView: 17.4,
    window: [-0.8, -0.42, 0.85],
    windowSize: 0.16,
    reach: 3.2 * Math.max(wide, deep, tall),
    table: TABLE,
    solids,
  };
}

const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

const moved = (place: readonly number[], by: readonly number[]): number[] =>
  place.map((value, i) => (i >= 12 && i < 15 ? value + by[i - 12] : value));

function solid(mesh: Mesh, place: number[], color: number, roughness: number, grain: number): StillSolid {
  const base64 = (array: Float32Array | Uint32Array) =>
    Buffer.from(array.buffer, array.byteOffset, array.byteLength).toString("base64");
  return {
    positions: base64(Float32Array.from(mesh.positions)),
    triangles: base64(mesh.triangles),
    place,
    color,
    roughness,
    grain,
  };
}
