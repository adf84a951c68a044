import { Plane, Ray, Vector3 } from "three";
import { describe, expect, test } from "vitest";
import { firstHit } from "../../../src/preview/scene/picker.ts";
import { slice } from "../../../src/preview/scene/slice.ts";
import { boxPiece } from "./solid.ts";

const seed = 20_731;

/** Numbers of −1 … 1 that are the same each time. */
function* chance(state: number): Generator<number> {
  for (;;) {
    state = (state * 1_103_515_245 + 12_345) % 2 ** 31;
    yield (2 * state) / 2 ** 31 - 1;
  }
}

describe("where a plane cuts a solid", () => {
  const piece = boxPiece("wall-a", [-20, -10, 0], [20, 10, 40]);
  const { points, triangles } = piece.shape;

  test("a level cut through a box is its outline", () => {
    const cut = slice(points, triangles, new Plane(new Vector3(0, 0, -1), 25));
    let length = 0;
    for (let i = 0; i < cut.length; i += 6) {
      expect(cut[i + 2]).toBeCloseTo(25, 4);
      length += Math.hypot(cut[i + 3] - cut[i], cut[i + 4] - cut[i + 1]);
    }
    expect(length).toBeCloseTo(120, 3);
  });

  test(`any cut is closed: every point is met by two lines (seed ${seed})`, () => {
    const next = chance(seed);
    const number = () => next.next().value as number;
    for (let run = 0; run < 100; run++) {
      const normal = new Vector3(number(), number(), number()).normalize();
      const through = new Vector3(19 * number(), 9 * number(), 20 + 19 * number());
      const cut = slice(points, triangles, new Plane().setFromNormalAndCoplanarPoint(normal, through));
      const met = new Map<string, number>();
      for (let i = 0; i < cut.length; i += 3) {
        const at = [...cut.subarray(i, i + 3)].map((value) => Math.round(value * 100) / 100 + 0).join();
        met.set(at, (met.get(at) ?? 0) + 1);
      }
      expect(cut.length).toBeGreaterThan(0);
      for (const [at, count] of met) expect(`${at}: ${count % 2}`).toBe(`${at}: 0`);
    }
  });

  test("a plane beside it gives nothing", () => {
    expect(slice(points, triangles, new Plane(new Vector3(0, 0, -1), 41))).toHaveLength(0);
  });
});

describe("what a ray meets first", () => {
  const near = boxPiece("near", [-20, -10, 0], [20, 10, 40]);
  const far = boxPiece("far", [-20, 30, 0], [20, 50, 40]);
  const back = new Vector3(0, 1, 0);
  const ray = new Ray(new Vector3(3, -100, 20), back);

  test("the nearest piece, at the faces it shows", () => {
    const hit = firstHit(ray, [far, near], null);
    expect([hit?.piece.name, hit?.run?.label]).toEqual(["near", "front"]);
    expect(hit?.distance).toBeCloseTo(90, 3);
  });

  test("where the pieces stand now, and only those in sight", () => {
    near.object.position.x = 100;
    expect(firstHit(ray, [near, far], null)?.piece.name).toBe("far");
    near.object.position.x = 0;
    near.object.visible = false;
    expect(firstHit(ray, [near, far], null)?.piece.name).toBe("far");
    near.object.visible = true;
  });

  test("on a cut the solid behind it, at the cut", () => {
    const hit = firstHit(ray, [near, far], new Plane(back, -2));
    expect(hit?.piece.name).toBe("near");
    expect(hit?.distance).toBeCloseTo(102, 3);
  });

  test("nothing of what is cut away", () => {
    expect(firstHit(ray, [near, far], new Plane(back, -20))?.run?.label).toBe("front");
    expect(firstHit(ray, [near, far], new Plane(back, -20))?.piece.name).toBe("far");
    expect(firstHit(ray, [near, far], new Plane(back, -60))).toBeUndefined();
    expect(firstHit(new Ray(ray.origin, back.clone().negate()), [near, far], null)).toBeUndefined();
  });
});
