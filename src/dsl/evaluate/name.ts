import { basename } from "node:path";

/** The design's name: that of its file without `.mold.ts`. */
export function designName(file: string): string {
  return basename(file).replace(/(\.mold)?\.ts$/, "");
}
