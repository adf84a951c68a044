import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { evaluate } from "../../../src/dsl/evaluate/index.ts";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { exportedMolds } from "../../../src/dsl/engine/molds.ts";
import { packages } from "../../../src/dsl/engine/packages.ts";
import { split } from "../../../src/dsl/index.ts";
import { buildMold } from "../../../src/dsl/mold/build.ts";
import { thinned, thinnedRing } from "../../../src/dsl/mold/coarse.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { moldView } from "../../../src/dsl/view/mold-view.ts";
import { beakerMold, build, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

/** Edges that two facets do not share, each once in each direction. */
function openEdges({ triangles: t }: Mesh): number {
  const edges = new Map<string, number>();
  for (let f = 0; f < t.length; f += 3)
    for (let k = 0; k < 3; k++) {
      const [a, b] = [t[f + k], t[f + ((k + 1) % 3)]];
      edges.set(`${a} ${b}`, (edges.get(`${a} ${b}`) ?? 0) + 1);
    }
  let open = 0;
  for (const [edge, count] of edges) {
    const [a, b] = edge.split(" ");
    if (count !== 1 || edges.get(`${b} ${a}`) !== 1) open++;
  }
  return open;
}

describe("parts while a maker types", () => {
  it.each([
    ["the beaker", () => beakerMold()],
    ["dome keys", () => beakerMold({ keys: undefined })],
    // Feet to lie on are left out while somebody types; parts that are pressed closed have none.
    ["on a floor", () => beakerMold({ base: "floor", press: "closed" })],
    ["waves that turn, seams with them", () => wavedMold(40, "form")],
    ["waves that turn, upright seams", () => wavedMold(15, "flat")],
    ["two parts", () => beakerMold({ seams: split({ parts: 2 }) })],
  ])("%s: closed, with every key, and as large as the real ones", (_name, make) => {
    const coarse = build(make(), "typing");
    const fine = build(make(), "idle");
    expect(coarse.keys.map((seam) => seam.keys.length)).toEqual(fine.keys.map((seam) => seam.keys.length));
    for (const [i, part] of [...coarse.model.parts, coarse.model.vessel].entries()) {
      const other = [...fine.model.parts, fine.model.vessel][i];
      expect(part.name).toBe(other.name);
      expect(openEdges(part.mesh), part.name).toBe(0);
      expect(volumeOf(part.mesh) / volumeOf(other.mesh), part.name).toBeCloseTo(1, 1);
      expect(part.runs.some((run) => run.face === "key")).toBe(other.runs.some((run) => run.face === "key"));
    }
  });

  it("each peg stands in its socket: parts with keys weigh what those without do, less the play", () => {
    const { bare, model, keys } = build(beakerMold(), "typing");
    const sum = (solids: readonly { mesh: Mesh }[]) =>
      solids.reduce((all, one) => all + volumeOf(one.mesh), 0);
    const count = keys.reduce((all, seam) => all + seam.keys.length, 0);
    const less = sum(bare) - sum(model.parts.filter((part) => part.role === "wall"));
    expect(count).toBeGreaterThan(8);
    // A cone of 8 mm with 0.2 mm around it: between nothing and 0.4 mm of its footprint.
    expect(less / count).toBeGreaterThan(0);
    expect(less / count).toBeLessThan(0.4 * Math.PI * 16 * 1.2);
  });

  it.each(["octagon-beaker", "fluted-carafe", "tasting-dish"])(
    "%s: what is sent stays small, and what is said of it the same as later",
    (name) => {
      const file = join(import.meta.dirname, `../../../examples/${name}.mold.ts`);
      const text = readFileSync(file, "utf8");
      const { design } = evaluate({
        entry: file,
        root: join(file, ".."),
        overlays: { [file]: text },
        packages,
      });
      const sent = (quality: "typing" | "idle") => {
        const exported = exportedMolds(design?.value, name);
        if (exported.kind !== "molds") throw new Error("no mold");
        let triangles = 0;
        let bytes = 0;
        const verdicts: unknown[] = [];
        for (const { mold, name } of exported.molds) {
          const built = buildMold(mold, name, quality);
          verdicts.push({
            moves: built.model.moves.map(({ part, against }) => ({ part, against })),
            findings: checkMold(built).map(({ code, severity, part }) => ({ code, severity, part })),
          });
          for (const { geometry } of moldView(built, "typing", new Set()).surfaces) {
            if (!geometry) throw new Error("no geometry");
            triangles += geometry.triangles.length / 3;
            for (const array of [geometry.positions, geometry.triangles, geometry.edges])
              bytes += array.byteLength;
          }
        }
        return { triangles, bytes, verdicts };
      };
      const { triangles, bytes, verdicts } = sent("typing");
      expect(triangles).toBeLessThanOrEqual(12_000);
      expect(bytes).toBeLessThanOrEqual(100 * 1024);
      const idle = sent("idle");
      expect(idle.bytes).toBeLessThan(2 * 1024 * 1024);
      expect(verdicts).toEqual(idle.verdicts);
    },
  );
});

describe("thinning", () => {
  const circle = Array.from({ length: 200 }, (_, i) => ({
    x: 40 * Math.cos((i * Math.PI) / 100),
    y: 40 * Math.sin((i * Math.PI) / 100),
  }));
  it("keeps ends and what stands out further than the chord", () => {
    const line = [0, 1, 2, 3, 4].map((x) => ({ x, y: x === 2 ? 0.4 : 0 }));
    expect(thinned(line, 0.5).map(({ x }) => x)).toEqual([0, 4]);
    expect(thinned(line, 0.3).map(({ x }) => x)).toEqual([0, 2, 4]);
    expect(thinned(line, 0)).toEqual(line);
  });
  it("a ring stays a ring within the chord", () => {
    const ring = thinnedRing(circle, 0.3);
    expect(ring.length).toBeLessThan(40);
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length];
      const sagitta = 40 - Math.hypot((a.x + b.x) / 2, (a.y + b.y) / 2);
      expect(sagitta).toBeLessThanOrEqual(0.3 + 1e-9);
    });
  });
});
