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
  /** Radius of the lens: what lies before or behind `lookAt` goes soft by it. */
  lens: number;
  /** Direction toward the window, and its radius at distance 1. */
  window: [number, number, number];
  windowSize: number;
  /** Half the side of the square that shadows are cast in. */
  reach: number;
  table: number;
  solids: StillSolid[];
}

export type Material = "clay" | "plastic";

export interface StillSolid {
  /** Float32 and Uint32 numbers in base64. */
  positions: string;
  triangles: string;
  /** Column-major, frame of the solid → table. */
  place: number[];
  color: number;
  /** Clay is matt and uneven; plastic shines a little and shows the layers it was printed in, along the solid's own z. */
  material: Material;
}
