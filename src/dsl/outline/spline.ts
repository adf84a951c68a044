import type { Curve, Segment } from "./curve.ts";
import { periodicSlopes } from "./cyclic.ts";
import { path } from "./path.ts";
import { cubic } from "./segments.ts";

/**
 * A closed curve through three or more points, none equal to the next, twice continuously
 * differentiable: one cubic from point to point. Steps of the parameter are the square roots of the
 * chords, which keeps it from swinging out beside short ones. Runs as the points do.
 * Source: Lee, "Choosing nodes in parametric curve interpolation", Computer-Aided Design 21 (1989).
 */
export function splineSegments(points: readonly (readonly [number, number])[]): Segment[] {
  const n = points.length;
  const h = points.map(([x, y], i) => {
    const [nx, ny] = points[(i + 1) % n];
    return Math.sqrt(Math.hypot(nx - x, ny - y));
  });
  const mx = periodicSlopes(
    points.map(([x]) => x),
    h,
  );
  const my = periodicSlopes(
    points.map(([, y]) => y),
    h,
  );
  return points.map(([x, y], i) => {
    const k = (i + 1) % n;
    const [nx, ny] = points[k];
    const third = h[i] / 3;
    return cubic({
      ax: x,
      ay: y,
      bx: x + mx[i] * third,
      by: y + my[i] * third,
      cx: nx - mx[k] * third,
      cy: ny - my[k] * third,
      dx: nx,
      dy: ny,
    })!;
  });
}

/** The same as a curve: its points are its sides' ends, so splines of equally many points correspond point by point. */
export function spline(points: readonly (readonly [number, number])[]): Curve {
  return path("spline", splineSegments(points));
}
