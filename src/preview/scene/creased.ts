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
  const vertices = positions.length / 3;
  // Twice the area times the unit normal: larger faces weigh more in the mean.
  const weighted = new Float32Array(faces * 3);
  const unit = new Float32Array(faces * 3);
  // Faces around each vertex, one run after another: first their number, then their beginning.
  const starts = new Uint32Array(vertices + 1);
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
    weighted[3 * f] = nx;
    weighted[3 * f + 1] = ny;
    weighted[3 * f + 2] = nz;
    const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (length > 0) {
      unit[3 * f] = nx / length;
      unit[3 * f + 1] = ny / length;
      unit[3 * f + 2] = nz / length;
    }
    for (let k = 0; k < 3; k++) starts[triangles[3 * f + k] + 1]++;
  }
  for (let v = 0; v < vertices; v++) starts[v + 1] += starts[v];
  const around = new Uint32Array(triangles.length);
  const next = starts.slice();
  for (let f = 0; f < faces; f++) for (let k = 0; k < 3; k++) around[next[triangles[3 * f + k]]++] = 3 * f;

  const cosine = Math.cos((creaseDegrees * Math.PI) / 180);
  const corners = new Float32Array(triangles.length * 3);
  const normals = new Float32Array(triangles.length * 3);
  for (let f = 0; f < faces; f++) {
    const ownX = unit[3 * f];
    const ownY = unit[3 * f + 1];
    const ownZ = unit[3 * f + 2];
    for (let k = 0; k < 3; k++) {
      const vertex = triangles[3 * f + k];
      let x = 0;
      let y = 0;
      let z = 0;
      for (let i = starts[vertex]; i < starts[vertex + 1]; i++) {
        const other = around[i];
        if (ownX * unit[other] + ownY * unit[other + 1] + ownZ * unit[other + 2] < cosine) continue;
        x += weighted[other];
        y += weighted[other + 1];
        z += weighted[other + 2];
      }
      const length = Math.sqrt(x * x + y * y + z * z) || 1;
      const corner = 9 * f + 3 * k;
      normals[corner] = x / length;
      normals[corner + 1] = y / length;
      normals[corner + 2] = z / length;
      corners[corner] = positions[3 * vertex];
      corners[corner + 1] = positions[3 * vertex + 1];
      corners[corner + 2] = positions[3 * vertex + 2];
    }
  }
  return { positions: corners, normals };
}

/** Positions in mm from their 16-bit form. */
export function unpackPositions(
  packed: Uint16Array,
  min: readonly [number, number, number],
  max: readonly [number, number, number],
): Float32Array {
  const points = new Float32Array(packed.length);
  for (let axis = 0; axis < 3; axis++) {
    const scale = (max[axis] - min[axis]) / 65535;
    for (let i = axis; i < packed.length; i += 3) points[i] = packed[i] * scale + min[axis];
  }
  return points;
}
