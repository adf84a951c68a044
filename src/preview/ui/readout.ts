import type { CallLine, PreviewWord } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import { fill, type Words } from "./words.ts";

/** Faces by the name that the mold gives them. */
const faces: Record<string, PreviewWord> = {
  cavity: "faceCavity",
  outside: "faceOutside",
  seam: "faceSeam",
  flange: "faceFlange",
  gutter: "faceGutter",
  rim: "faceRim",
  foot: "faceFoot",
  band: "faceBand",
  chamfer: "faceChamfer",
  key: "faceKey",
  floor: "faceFloor",
  cutter: "faceCutter",
  rib: "faceRib",
  vent: "faceVent",
  mark: "faceMark",
  pry: "facePry",
};

/** One line in the corner of the picture: what the pointer rests on, and the call that made it. */
export class Readout {
  readonly root = element("p", { class: "readout", hidden: true });
  readonly #words: Words;

  constructor(words: Words) {
    this.#words = words;
  }

  /** `face` as the mold names it, `part` as the picture does; without a call only these are said. */
  show(face: string, part: string, call: CallLine | undefined): void {
    const known = Object.hasOwn(faces, face) ? this.#words[faces[face]] : face;
    const what = known === "" ? part : `${known}, ${part}`;
    this.root.textContent = call ? fill(this.#words.madeBy, what, `${call.name}(…)`, call.spot.label) : what;
    this.root.hidden = false;
  }

  hide(): void {
    this.root.hidden = true;
  }
}
