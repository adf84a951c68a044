/**
 * Triangles with a normal at each corner: smooth where faces meet at less than the crease angle,
 * sharp elsewhere. Three corners a triangle, not shared.
 *
 * `positions` are xyz of the shared vertices, `triangles` their indices. A triangle without area
 * gets the zero normal of its own face and turns nobody else's.
 */
export function creasedCorners(
  positions: Float32Array,
  triangles: Uint16Array | Uint32Array,
  creaseDegrees = 32,
): { positions: Float32Array; normals: Float32Array } {
  const faces = triangles.length / 3;
  // Twice the area times the unit normal: larger faces weigh more in the mean.
  const weighted = new Float32Array(faces * 3);
  const unit = new Float32Array(faces * 3);
  for (let f = 0; f < faces; f++) {
    const a = triangles[3 * f] * 3;
    const b = triangles[3 * f + 1] * 3;
    const c = triangles[3 * f + 2] * 3;
    const ux = positions[b] - positions[a];
    const uy = positions[b + 1] - positions[a + 1];
    const uz = positions[b + 2] - positions[a + 2];
    const vx = positions[c] - positions[a];
    const vy = positions[c + 1] - positions[a + 1];
    const vz = positions[c + 2] - positions[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    weighted.set([nx, ny, nz], 3 * f);
    const length = Math.hypot(nx, ny, nz);
    if (length > 0) unit.set([nx / length, ny / length, nz / length], 3 * f);
  }

  // Faces around each vertex, one run after another.
  const starts = new Uint32Array(positions.length / 3 + 1);
  for (const vertex of triangles) starts[vertex + 1]++;
  for (let v = 1; v < starts.length; v++) starts[v] += starts[v - 1];
  const around = new Uint32Array(triangles.length);
  const next = starts.slice();
  triangles.forEach((vertex, corner) => (around[next[vertex]++] = Math.floor(corner / 3)));

  const cosine = Math.cos((creaseDegrees * Math.PI) / 180);
  const corners = new Float32Array(triangles.length * 3);
  const normals = new Float32Array(triangles.length * 3);
  for (let corner = 0; corner < triangles.length; corner++) {
    const vertex = triangles[corner];
    const own = Math.floor(corner / 3) * 3;
    let x = 0;
    let y = 0;
    let z = 0;
    for (let i = starts[vertex]; i < starts[vertex + 1]; i++) {
      const other = around[i] * 3;
      const alike =
        unit[own] * unit[other] + unit[own + 1] * unit[other + 1] + unit[own + 2] * unit[other + 2];
      if (alike < cosine) continue;
      x += weighted[other];
      y += weighted[other + 1];
      z += weighted[other + 2];
    }
    const length = Math.hypot(x, y, z) || 1;
    normals.set([x / length, y / length, z / length], corner * 3);
    corners.set(positions.subarray(vertex * 3, vertex * 3 + 3), corner * 3);
  }
  return { positions: corners, normals };
}

/** Positions in mm from their 16-bit form. */
export function unpackPositions(
  packed: Uint16Array,
  min: readonly [number, number, number],
  max: readonly [number, number, number],
): Float32Array {
  const scale = [0, 1, 2].map((axis) => (max[axis] - min[axis]) / 65535);
  return Float32Array.from(packed, (value, i) => value * scale[i % 3] + min[i % 3]);
}
