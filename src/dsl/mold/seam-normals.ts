import type { SeamTrial } from "./seam-trial.ts";

/**
 * Unit normals of a seam's face, pointing counter-clockwise: level rulings from the cavity edge to
 * the flange's edge, which is parallel to the axis.
 *
 * @param us u of the seam on each row of the trial
 * @param reach how far the flange stands out beyond the clay where that is widest, mm
 */
export function faceNormals(trial: SeamTrial, us: Float64Array, reach: number): number[] {
  const { zs, centreX, centreY } = trial;
  const { x, y } = trial.points(us);
  const rows = zs.length;
  const dirX = new Float64Array(rows);
  const dirY = new Float64Array(rows);
  const lean = new Float64Array(rows);
  let edge = 0;
  for (let j = 0; j < rows; j++) {
    const [dx, dy] = [x[j] - centreX[j], y[j] - centreY[j]];
    const radius = Math.hypot(dx, dy);
    dirX[j] = dx / radius;
    dirY[j] = dy / radius;
    lean[j] = (centreX[j] - centreX[0]) * dirX[j] + (centreY[j] - centreY[0]) * dirY[j];
    edge = Math.max(edge, lean[j] + radius);
  }
  edge += reach;
  const out = (j: number): [number, number] => [
    centreX[j] + dirX[j] * (edge - lean[j]),
    centreY[j] + dirY[j] * (edge - lean[j]),
  ];
  const normals: number[] = [];
  for (let j = 0; j + 1 < rows; j++) {
    const rise = zs[j + 1] - zs[j];
    const [lowX, lowY] = out(j);
    const [highX, highY] = out(j + 1);
    for (const [px, py, qx, qy, row] of [
      [x[j], y[j], x[j + 1], y[j + 1], j],
      [lowX, lowY, highX, highY, j + 1],
    ]) {
      // Up along the face × outwards along the ruling: counter-clockwise.
      const [ux, uy] = [qx - px, qy - py];
      const n = [-rise * dirY[row], rise * dirX[row], ux * dirY[row] - uy * dirX[row]];
      const length = Math.hypot(n[0], n[1], n[2]);
      const [nx, ny, nz] = [n[0] / length, n[1] / length, n[2] / length];
      const last = normals.length - 3;
      const same =
        last >= 0 &&
        Math.abs(normals[last] - nx) + Math.abs(normals[last + 1] - ny) + Math.abs(normals[last + 2] - nz) <
          1e-12;
      if (!same) normals.push(nx, ny, nz);
    }
  }
  return normals;
}
