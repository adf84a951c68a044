/** More vertices than any mesh here has. */
const MANY = 2 ** 26;

/** A number for the edge between two vertices of one mesh, whichever way it runs. */
export const edgeKey = (a: number, b: number): number => Math.min(a, b) * MANY + Math.max(a, b);
