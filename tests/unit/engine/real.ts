import type { BuildRequest, BuildResult } from "../../../shared/engine.ts";
import type { CallId, Place } from "../../../shared/place.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { Lines } from "../../../src/dsl/source/lines.ts";

export const FOLDER = "/designs";
export const ENTRY = `${FOLDER}/sample.mold.ts`;

/** The engine as it ships, in this process. */
export const realEngine = (): Engine => new Engine(parts, () => undefined);

/** A request to build texts that are on no disk: the entry, and more files by name. */
export function request(
  text: string,
  files: Record<string, string> = {},
  more: Partial<BuildRequest> = {},
): BuildRequest {
  const overlays: Record<string, string> = { [ENTRY]: text };
  for (const [name, content] of Object.entries(files)) overlays[`${FOLDER}/${name}`] = content;
  return {
    type: "build",
    id: 1,
    entry: ENTRY,
    root: FOLDER,
    overlays,
    overrides: {},
    quality: "typing",
    have: [],
    fixes: false,
    ...more,
  };
}

/** The innermost call around a place of a file, as the editor looks for it. */
export function callAt(
  result: BuildResult,
  file: string,
  text: string,
  offset: number,
): BuildResult["calls"][number] | undefined {
  const lines = new Lines(text);
  const holds = ({ file: other, line, column, endLine, endColumn }: Place) =>
    other === file && lines.offset(line, column) <= offset && offset <= lines.offset(endLine, endColumn);
  const length = ({ line, column, endLine, endColumn }: Place) =>
    lines.offset(endLine, endColumn) - lines.offset(line, column);
  return result.calls
    .flatMap((call) => call.chain.filter(holds).map((place) => ({ call, length: length(place) })))
    .sort((a, b) => a.length - b.length)
    .at(0)?.call;
}

/** Names of the faces, in all molds, that these calls made. */
export function facesOf(result: BuildResult, calls: readonly CallId[]): string[] {
  const labels = result.molds.flatMap((mold) =>
    mold.surfaces.flatMap((surface) =>
      (surface.geometry?.groups ?? []).filter(({ call }) => calls.includes(call)).map(({ label }) => label),
    ),
  );
  return [...new Set(labels)].sort();
}
