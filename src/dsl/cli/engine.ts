import type { BuildResult, EngineRequest, ExportResult } from "../../../shared/engine.ts";

type Ask<T extends EngineRequest["type"]> = Omit<Extract<EngineRequest, { type: T }>, "type" | "id">;

/** What the commands need of the engine process. */
export interface Engine {
  build(request: Ask<"build">): Promise<BuildResult>;
  exportDesign(
    request: Ask<"export">,
    options: { signal?: AbortSignal; onProgress?: (done: number, total: number, what: string) => void },
  ): Promise<ExportResult>;
}
