import type { MoldPart, Vec3 } from "../mold/model.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { SNAP } from "../tolerances.ts";
import { faultOfSolid } from "./verify.ts";
import { weld } from "./weld.ts";

export interface BedPart {
  /** In the bed frame: x, y and z begin at 0. */
  mesh: Mesh;
  size: Vec3;
  /** Rigid, column-major, bed → mold frame. */
  toMold: number[];
}

/** Most that the columns of a turn may be off from unit length and square. */
const RIGID_TOLERANCE = 1e-9;

/**
 * A part in the position in which it prints: turned by `bedTurn`, then moved so that its box
 * begins at the origin. Quarter turns keep the vertices on their grid of 2⁻¹³ mm; after any other
 * turn they are snapped to it again and the solid is checked anew. A turn that is not rigid throws,
 * and so does a part that comes off the grid: what was proved of it is not what would be written.
 */
export function layOnBed(part: Pick<MoldPart, "name" | "mesh" | "bedTurn">): BedPart {
  const turn = rigidTurn(part.name, part.bedTurn);
  const stray = part.mesh.positions.find((value) => !Number.isInteger(value / SNAP));
  if (stray !== undefined) throw new Error(`${part.name} has a vertex off the grid, at ${stray} mm`);
  const quarter = turn.every((entry) => Number.isInteger(entry));
  const { positions, triangles } = part.mesh;
  const turned = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    for (let row = 0; row < 3; row++) {
      const value =
        turn[row] * positions[i] + turn[3 + row] * positions[i + 1] + turn[6 + row] * positions[i + 2];
      turned[i + row] = quarter ? value : Math.round(value / SNAP) * SNAP;
    }
  }
  let mesh: Mesh = { positions: turned, triangles };
  if (!quarter) {
    mesh = withoutCollapsed(weld(mesh));
    const fault = faultOfSolid(mesh);
    if (fault) throw new Error(`${part.name} turned onto the bed: ${fault}`);
  }
  const { min, max } = boundsOf(mesh);
  const p = mesh.positions;
  // Adding 0 turns -0 into 0, so that equal places are written alike.
  for (let i = 0; i < p.length; i++) p[i] = p[i] - min[i % 3] + 0;
  // p_mold = Rᵀ(p_bed + min)
  const shift = [0, 1, 2].map(
    (axis) => turn[3 * axis] * min[0] + turn[3 * axis + 1] * min[1] + turn[3 * axis + 2] * min[2] + 0,
  );
  return {
    mesh,
    size: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
    toMold: [
      ...[turn[0], turn[3], turn[6], 0],
      ...[turn[1], turn[4], turn[7], 0],
      ...[turn[2], turn[5], turn[8], 0],
      ...[...shift, 1],
    ],
  };
}

/** The nine numbers of the turn, column-major; a column within 1e-9 of an axis becomes it. */
function rigidTurn(name: string, matrix: readonly number[]): number[] {
  if (matrix.length !== 16) throw new Error(`${name}: bedTurn has ${matrix.length} numbers, not 16`);
  const turn = [0, 4, 8].flatMap((start) => {
    const given = matrix.slice(start, start + 3);
    const whole = given.map((value) => Math.round(value) + 0);
    return given.every((value, i) => Math.abs(value - whole[i]) < RIGID_TOLERANCE) ? whole : given;
  });
  const column = (c: number) => turn.slice(3 * c, 3 * c + 3);
  const dot = (a: number[], b: number[]) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  for (let a = 0; a < 3; a++) {
    for (let b = a; b < 3; b++) {
      const off = Math.abs(dot(column(a), column(b)) - (a === b ? 1 : 0));
      if (!(off < RIGID_TOLERANCE)) throw new Error(`${name}: bedTurn is not rigid`);
    }
  }
  const [x, y, z] = [column(0), column(1), column(2)];
  const cross = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
  if (dot(cross, z) < 0) throw new Error(`${name}: bedTurn mirrors the part`);
  return turn;
}

/** Without the facets whose corners snapped together. */
function withoutCollapsed({ positions, triangles }: Mesh): Mesh {
  const kept: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = triangles.subarray(t, t + 3);
    if (a !== b && b !== c && c !== a) kept.push(a, b, c);
  }
  return { positions, triangles: Uint32Array.from(kept) };
}
