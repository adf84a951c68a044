/** What a still is made of. Lengths mm, z up, the table at z = 0. */
export interface Still {
  width: number;
  height: number;
  /** Pictures that are added up. */
  passes: number;
  eye: [number, number, number];
  lookAt: [number, number, number];
  /** Degrees, upright. */
  fieldOfView: number;
  /** Direction toward the window, and its radius at distance 1. */
  window: [number, number, number];
  windowSize: number;
  /** Half the side of the square that shadows are cast in. */
  reach: number;
  table: number;
  solids: StillSolid[];
}

export interface StillSolid {
  /** Float32 and Uint32 numbers in base64. */
  positions: string;
  triangles: string;
  /** Column-major, frame of the solid → table. */
  place: number[];
  color: number;
  roughness: number;
  /** How much the colour varies over the solid; 0 for none. */
  grain: number;
}
