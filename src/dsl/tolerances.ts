import type { Quality } from "../../shared/engine.ts";

/** In-surface error of the cavity, mm: quick enough to type by, fine enough to look at, right for the printer. */
export const SURFACE: Record<Quality, number> = { typing: 0.2, idle: 0.05, export: 0.02 };

/** Neighbouring normals of a grid of the cavity turn by no more than this, radians. */
export const GRID_TURN: Record<Quality, number> = { typing: 0.5, idle: 0.26, export: 0.26 };

/** Vertices lie on this grid, mm. 2⁻¹³ is exact in float32 up to 2 m, so a written file holds the very numbers that were proved. */
export const SNAP = 2 ** -13;

/** A fillet under this radius is a sharp corner, mm: less than any nozzle can show. */
export const SHARP_FILLET = 0.05;

/** Surfaces that meet at more than this are an edge and keep both normals, degrees. */
export const FEATURE_ANGLE = 15;

/** Rows and columns of the grid are never closer than this, mm, so that no sliver comes out of snapping. */
export const LEAST_STEP = 0.02;

/** Points of one row nearer to each other than this, mm, are one: snapping could put them in the wrong order. */
export const LEAST_GAP = 1e-3;

/** The shell is meshed this much too thick, mm: room for the chords of its own mesh. */
export const SHELL_MARGIN = 0.01;

/** The ray from the middle of a level section meets its outline at less than this from square, degrees. */
export const STAR_ANGLE = 80;

/** No written facet is smaller, mm². */
export const LEAST_FACET = 1e-7;
