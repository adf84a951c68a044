import type { Tagged } from "../solid/kernel.ts";
import type { Vec3 } from "./model.ts";

export interface UndercutSurvey {
  areaMm2: number;
  depthMm: number;
  patches: { areaMm2: number; depthMm: number; at: Vec3 }[];
}

/** What of the clay holds a part that leaves along `m`. */
export function surveyUndercut(_part: Tagged, _clay: Tagged, _m: Vec3): UndercutSurvey {
  return { areaMm2: 0, depthMm: 0, patches: [] };
}
