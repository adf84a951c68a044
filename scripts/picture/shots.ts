import { by, extent, settled, turned, type Bench, type Thing } from "./bench.ts";

/** How the parts of a design lie on the table and from where they are seen. */
export interface Shot {
  things: Thing[];
  /** Degrees: where the eye stands, counter-clockwise from the front, and how high. */
  from: number;
  above: number;
}

/** The shots of the examples, by the name of the design. */
export const shots: Readonly<Record<string, (benches: readonly Bench[]) => Shot>> = {
  /** The beaker before two walls that are drawn off behind it; the others lie open beside it. */
  "octagon-beaker": ([bench]) => ({
    things: [
      bench.clay(),
      bench.drawn("wall-a", 44),
      bench.drawn("wall-b", 44),
      bench.onBack("wall-d", 118, -56, 68),
      bench.onBack("wall-c", -118, -52, -66),
      bench.flat("cutter-base", 2, -132, 12),
    ],
    from: 4,
    above: 30,
  }),
  /** The carafe with two of its walls behind it, the third on its back as it is pressed. */
  "fluted-carafe": ([bench]) => ({
    things: [
      bench.clay(),
      ...spread(bench, ["wall-a", "wall-b", "wall-c"]),
      bench.flat("cutter-base", -152, -128),
    ],
    from: 0,
    above: 24,
  }),
  /** The dish on the table before its mold, which stands as it is filled. */
  "tasting-dish": ([bench]) => ({
    things: [
      settled(turned(bench.clay(), 14), 62, -96),
      settled(turned(bench.drawn("wall-a", 0), 14), -62, 40),
      bench.flat("cutter-base", 118, 54, 20),
    ],
    from: 0,
    above: 38,
  }),
  /** Both halves open on their backs, the handle before them. */
  "beaker-handle": ([bench]) => ({
    things: [
      bench.onBack("wall-a", -50, 22, 96),
      bench.onBack("wall-b", 44, 22, -8),
      settled(turned(turned(bench.clay(), 90, "x"), -60), 2, -66),
    ],
    from: 0,
    above: 44,
  }),
  /** The jar with its lid on before one wall, the other open on its back, beside it the mold of the lid. */
  "sugar-jar": ([jar, lid]) => {
    const upturned = turned(lid.clay(), 180, "x");
    const { min } = extent([upturned]);
    const { max } = extent([jar.clay()]);
    return {
      things: [
        jar.clay(),
        by(upturned, 0, 0, max.z - min.z - SITS),
        jar.drawn("wall-a", 58),
        jar.onBack("wall-b", -142, -22, -70),
        settled(lid.drawn("wall-a", 0), 128, -44),
        jar.flat("cutter-base", 4, -136),
      ],
      from: 0,
      above: 30,
    };
  },
};

/** How far the edge of the lid hangs below the rim of the jar, mm: its neck, wet. */
const SITS = 16;

/** Walls drawn off, but the one that would stand before the clay: that lies on its back at the side. */
function spread(bench: Bench, walls: readonly string[]): Thing[] {
  const front = walls.reduce((a, b) =>
    (bench.part(b).pull?.[1] ?? 0) < (bench.part(a).pull?.[1] ?? 0) ? b : a,
  );
  return walls.map((name) =>
    name === front ? bench.onBack(name, 164, -84, 20) : bench.drawn(name, 0.45 * bench.size[0]),
  );
}
