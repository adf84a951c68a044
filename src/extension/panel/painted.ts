import type { Quality } from "../../../shared/engine.ts";
import type { FromPreview } from "../../../shared/preview.ts";
import type { Sent } from "./transport.ts";

/** What a preview has put on the screen, and how long each step to it took. */
export interface Painted {
  build: number;
  quality: Quality | undefined;
  triangles: number;
  /** Of the geometry that was sent. */
  bytes: number;
  /** Surfaces of every mold, as the engine names their geometry. */
  digests: string[];
  /** In the page, ms. */
  milliseconds: number;
  stages: Stages;
  /** When the text had changed, ms of the extension host's clock. */
  touched: number;
  /** The coarse picture of the same text that was on the screen before this fine one. */
  coarse?: Painted;
}

/** ms; from the change of the text to the picture they follow on each other. */
export interface Stages {
  /** Until the engine was asked. */
  ask: number;
  /** Until it had answered; of these, `evaluate` in the maker's code and `compute` in ours. */
  engine: number;
  evaluate: number;
  compute: number;
  /** Until the page was free for it. */
  wait: number;
  /** On the way to the page, and of its answer back. */
  transfer: number;
  /** The page makes it its own. */
  take: number;
  /** Until its frame was on the screen. */
  paint: number;
  /** All of it, from the change of the text to the answer. */
  total: number;
}

export function paintedOf(
  { build, triangles, digests, take, milliseconds }: Extract<FromPreview, { type: "painted" }>,
  { state: { making }, bytes, posted }: Sent,
): Painted {
  const now = performance.now();
  const { touched = posted, asked = posted, answered = posted, engine = {} } = making ?? {};
  return {
    build,
    quality: making?.quality,
    triangles,
    bytes,
    digests,
    milliseconds,
    touched,
    stages: {
      ask: asked - touched,
      engine: answered - asked,
      evaluate: engine.evaluate ?? 0,
      compute: engine.compute ?? 0,
      wait: posted - answered,
      transfer: now - posted - milliseconds,
      take,
      paint: milliseconds - take,
      total: now - touched,
    },
  };
}
