import { volumeOf } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import type { Face, FaceRun } from "./tagged.ts";

/** A solid with the face of each triangle. */
export interface ProofPiece {
  name: string;
  mesh: Mesh;
  runs: FaceRun[];
}

export interface ContactProof {
  /** Empty when the pieces fill one outer surface without gap or overlap. */
  faults: string[];
  /** Volume inside the one outer surface, mm³. */
  outer: number;
  /** Volume of the hollows between the pieces that are meant to be: gutters, mm³. */
  hollows: number;
  /** Outward triangles of the outer surface. */
  surface: Mesh;
}

/** Faces that may stay uncovered inside the assembly, in a hollow of their own. */
const HOLLOW_FACES: ReadonlySet<Face> = new Set(["gutter"]);
/** Faces that must be covered by another piece, triangle by triangle. */
const CONTACT_FACES: ReadonlySet<Face> = new Set(["cavity", "seam"]);

/**
 * Proof that pieces touch without gap or overlap, with no boolean at all: the oriented triangles
 * of all pieces are put together, opposite pairs cancel, and what is left must be one closed outer
 * surface, besides the hollows that are meant. A contact face whose triangles stay is a gap or an
 * overlap, however thin.
 */
export function proveContact(pieces: readonly ProofPiece[]): ContactProof {
  const ids = new Map<string, number>();
  const coordinates: number[] = [];
  const left = new Map<string, { v: [number, number, number]; face: Face; piece: string }>();
  const faults: string[] = [];
  const keyOf = (a: number, b: number, c: number) => {
    if (a < b && a < c) return `${a} ${b} ${c}`;
    if (b < c) return `${b} ${c} ${a}`;
    return `${c} ${a} ${b}`;
  };
  for (const { name, mesh, runs } of pieces) {
    const { positions: p, triangles: t } = mesh;
    const own = new Int32Array(p.length / 3);
    for (let i = 0; i < own.length; i++) {
      const key = `${p[3 * i]} ${p[3 * i + 1]} ${p[3 * i + 2]}`;
      let id = ids.get(key);
      if (id === undefined) {
        ids.set(key, (id = ids.size));
        coordinates.push(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
      }
      own[i] = id;
    }
    for (const run of runs) {
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
        const [a, b, c] = [own[t[i]], own[t[i + 1]], own[t[i + 2]]];
        if (!left.delete(keyOf(a, c, b))) {
          const key = keyOf(a, b, c);
          if (left.has(key))
            faults.push(`${name}: a triangle of its ${run.face} face lies on another piece's, same way up`);
          left.set(key, { v: [a, b, c], face: run.face, piece: name });
        }
      }
    }
  }

  const uncovered = new Map<string, number>();
  for (const { face, piece } of left.values()) {
    if (CONTACT_FACES.has(face))
      uncovered.set(`${piece}: ${face}`, (uncovered.get(`${piece}: ${face}`) ?? 0) + 1);
  }
  for (const [where, count] of uncovered) faults.push(`${where}: ${count} triangles meet no neighbour`);

  const shells = connected([...left.values()], faults);
  const positions = Float64Array.from(coordinates);
  let outer = 0;
  let outers = 0;
  let hollows = 0;
  let surface: Mesh = { positions, triangles: new Uint32Array(0) };
  for (const shell of shells) {
    const triangles = Uint32Array.from(shell.flatMap((one) => one.v));
    const volume = volumeOf({ positions, triangles });
    if (volume > 0) {
      outers++;
      outer += volume;
      surface = { positions, triangles };
    } else if (shell.every((one) => HOLLOW_FACES.has(one.face))) {
      hollows -= volume;
    } else {
      const faces = [...new Set(shell.map((one) => `${one.piece} ${one.face}`))].slice(0, 4).join(", ");
      faults.push(`a hollow of ${(-volume).toFixed(3)} mm³ between ${faces}`);
    }
  }
  if (outers !== 1) faults.push(`${outers} outer surfaces instead of one`);
  return { faults, outer, hollows, surface };
}

/** Groups triangles that share edges; every edge must be used once in each direction. */
function connected<T extends { v: [number, number, number] }>(triangles: T[], faults: string[]): T[][] {
  const edges = new Map<string, number[]>();
  triangles.forEach(({ v }, i) => {
    for (let k = 0; k < 3; k++) {
      const key = `${v[k]} ${v[(k + 1) % 3]}`;
      const users = edges.get(key);
      if (users) users.push(i);
      else edges.set(key, [i]);
    }
  });
  let open = 0;
  const group = Int32Array.from(triangles, (_, i) => i);
  const root = (i: number): number => {
    while (group[i] !== i) i = group[i] = group[group[i]];
    return i;
  };
  for (const [key, users] of edges) {
    const [a, b] = key.split(" ");
    const others = edges.get(`${b} ${a}`);
    if (others?.length !== users.length) open++;
    for (const other of others ?? []) for (const user of users) group[root(user)] = root(other);
  }
  if (open > 0) faults.push(`${open} edges of the outer surface are open`);
  const shells = new Map<number, T[]>();
  triangles.forEach((triangle, i) => {
    const shell = shells.get(root(i));
    if (shell) shell.push(triangle);
    else shells.set(root(i), [triangle]);
  });
  return [...shells.values()];
}
