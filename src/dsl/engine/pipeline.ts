import type { BuildResult, EngineRequest, ExportResult } from "../../../shared/engine.ts";

/**
 * What the engine does with an evaluated design. The geometry behind it is not here yet: both
 * functions say so.
 */
export function computeBuild(): Promise<Pick<BuildResult, "molds" | "findings">> {
  return Promise.reject(new Error("no geometry yet"));
}

export function computeExport(_request: Extract<EngineRequest, { type: "export" }>): Promise<ExportResult> {
  return Promise.reject(new Error("no geometry yet"));
}
