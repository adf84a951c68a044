import { PerspectiveCamera, Vector3 } from "three";
import { corners, extent, type Thing } from "./bench.ts";
import type { Shot } from "./shots.ts";
import type { Still, StillSolid } from "./still.ts";

const TABLE = 0xe9e2d6;
const WIDTH = 1200;
const HEIGHT = 800;
/** Degrees, upright: a lens that flattens little. */
const FIELD_OF_VIEW = 20;
/** Share of the picture that stays free at each side. */
const FREE = 0.055;
const PASSES = 112;

/** A still of a shot: the eye goes as near as it can with everything in the picture. */
export function compose({ things, from, above }: Shot): Still {
  const { min, max } = extent(things);
  const size = max.clone().sub(min);
  const { eye, lookAt } = framed(things, from, above);
  return {
    width: WIDTH,
    height: HEIGHT,
    passes: PASSES,
    eye: eye.toArray(),
    lookAt: lookAt.toArray(),
    fieldOfView: FIELD_OF_VIEW,
    lens: 2.4,
    window: [-0.9, -0.25, 0.75],
    windowSize: 0.2,
    reach: 0.75 * Math.hypot(size.x, size.y, size.z),
    table: TABLE,
    solids: things.map(packed),
  };
}

function framed(things: readonly Thing[], from: number, above: number): { eye: Vector3; lookAt: Vector3 } {
  const points = corners(things);
  const [turn, rise] = [from, above].map((degrees) => (degrees * Math.PI) / 180);
  const back = new Vector3(Math.sin(turn) * Math.cos(rise), -Math.cos(turn) * Math.cos(rise), Math.sin(rise));
  const camera = new PerspectiveCamera(FIELD_OF_VIEW, WIDTH / HEIGHT, 10, 6000);
  camera.up.set(0, 0, 1);
  const { min, max } = extent(things);
  const lookAt = min.clone().add(max).multiplyScalar(0.5);
  let away = 4 * max.distanceTo(min);
  // Each round centres what is seen and goes so near that it fills the picture; a few settle it.
  for (let round = 0; round < 12; round++) {
    camera.position.copy(lookAt).addScaledVector(back, away);
    camera.lookAt(lookAt);
    camera.updateMatrixWorld();
    const low = new Vector3().setScalar(Infinity);
    const high = new Vector3().setScalar(-Infinity);
    for (const point of points) {
      const seen = point.clone().project(camera);
      low.min(seen);
      high.max(seen);
    }
    const reach = away * Math.tan((FIELD_OF_VIEW * Math.PI) / 360);
    const right = new Vector3().setFromMatrixColumn(camera.matrixWorld, 0);
    const up = new Vector3().setFromMatrixColumn(camera.matrixWorld, 1);
    lookAt.addScaledVector(right, (((high.x + low.x) / 2) * reach * WIDTH) / HEIGHT);
    lookAt.addScaledVector(up, ((high.y + low.y) / 2) * reach);
    away *= Math.max(high.x - low.x, high.y - low.y) / 2 / (1 - 2 * FREE);
  }
  camera.position.copy(lookAt).addScaledVector(back, away);
  return { eye: camera.position.clone(), lookAt };
}

function packed({ mesh, place, color, material }: Thing): StillSolid {
  const base64 = (array: Float32Array | Uint32Array) =>
    Buffer.from(array.buffer, array.byteOffset, array.byteLength).toString("base64");
  return {
    positions: base64(Float32Array.from(mesh.positions)),
    triangles: base64(mesh.triangles),
    place: place.toArray(),
    color,
    material,
  };
}
