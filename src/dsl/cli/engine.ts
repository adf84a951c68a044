import type { EngineHost } from "../engine/host.ts";

/** What the commands need of the engine process. */
export type Engine = Pick<EngineHost, "build" | "exportDesign">;
