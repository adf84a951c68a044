/** The picture alone in a web page, driven from outside. */
import { PerspectiveCamera, Vector3 } from "three";
import type { PreviewGeometry, PreviewMold } from "../../shared/preview.ts";
import { Pieces, type Piece } from "../../src/preview/scene/piece.ts";
import { Stage } from "../../src/preview/scene/stage.ts";
import type { SentMold } from "./sent.ts";

declare global {
  interface Window {
    startStage: () => void;
    showMold: (mold: SentMold) => Promise<number>;
    stage: Stage;
    pieces: Piece[];
    /** What the stage has told, oldest first. */
    told: [string, ...unknown[]][];
    drawn: () => Promise<void>;
    /** Red, green, blue and alpha at points of the canvas, page px from its top left, as of the next frame. */
    colorsAt: (points: [number, number][]) => Promise<number[][]>;
    /** Where a point of the mold frame, mm, is seen; page px from the canvas's top left. */
    seenAt: (at: [number, number, number]) => [number, number];
  }
}

let pieces: Pieces | undefined;

function unpack<T>(text: string, make: (buffer: ArrayBuffer) => T): T {
  return make(Uint8Array.from(atob(text), (character) => character.charCodeAt(0)).buffer);
}

window.told = [];
window.startStage = () => {
  const canvas = document.querySelector("canvas") as HTMLCanvasElement;
  const overlay = document.querySelector(".labels") as HTMLElement;
  window.stage = new Stage(canvas, overlay, {
    onView: () => window.told.push(["view"]),
    onContext: (lost) => window.told.push(["context", lost]),
    onPick: (call, piece, label) => window.told.push(["pick", call, piece.name, label]),
    onHover: (call, piece, label) => window.told.push(["hover", call, piece?.name, label]),
    onMark: (index) => window.told.push(["mark", index]),
  });
  pieces = new Pieces(window.stage.palette);
};

/** Gives the ms from the message to the frame. */
window.showMold = ({ surfaces, ...rest }) => {
  const mold: PreviewMold = {
    ...rest,
    surfaces: surfaces.map(({ geometry, ...surface }) => ({
      ...surface,
      geometry:
        geometry &&
        ({
          ...geometry,
          positions: unpack(geometry.positions, (buffer) => new Uint16Array(buffer)),
          triangles: unpack(geometry.triangles, (buffer) => new Uint32Array(buffer)),
          edges: unpack(geometry.edges, (buffer) => new Uint32Array(buffer)),
        } satisfies PreviewGeometry),
    })),
  };
  const start = performance.now();
  window.pieces = (pieces as Pieces).take(mold.surfaces);
  window.stage.show(window.pieces, mold.moves, mold.dimensions);
  return new Promise((resolve) => window.stage.draw(() => resolve(performance.now() - start)));
};

/** Once everything that was asked for is on the screen, as sharp as it gets. */
window.drawn = () =>
  new Promise((resolve) =>
    window.stage.draw(() => setTimeout(() => requestAnimationFrame(() => resolve()), 600)),
  );

/** Reads within the frame that draws: afterwards the canvas has been handed over. */
window.colorsAt = (points) =>
  new Promise((resolve) => {
    window.stage.draw();
    requestAnimationFrame(() => {
      const canvas = document.querySelector("canvas") as HTMLCanvasElement;
      const gl = canvas.getContext("webgl2") as WebGL2RenderingContext;
      const scale = canvas.width / canvas.clientWidth;
      resolve(
        points.map(([x, y]) => {
          const pixel = new Uint8Array(4);
          const down = canvas.height - 1 - Math.round(y * scale);
          gl.readPixels(Math.round(x * scale), down, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, pixel);
          return [...pixel];
        }),
      );
    });
  });

window.seenAt = (at) => {
  const canvas = document.querySelector("canvas") as HTMLCanvasElement;
  const { offset, target } = window.stage.view;
  const camera = new PerspectiveCamera(26, canvas.clientWidth / canvas.clientHeight);
  camera.up.set(0, 0, 1);
  camera.position.set(...target).add(new Vector3(...offset));
  camera.lookAt(...target);
  camera.updateMatrixWorld();
  const { x, y } = new Vector3(...at).project(camera);
  return [((x + 1) / 2) * canvas.clientWidth, ((1 - y) / 2) * canvas.clientHeight];
};
