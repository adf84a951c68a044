/** Types for npm `bunny`, which has none: corners and facets of the Stanford bunny, y up. */
declare module "bunny" {
  const bunny: { positions: [number, number, number][]; cells: [number, number, number][] };
  export default bunny;
}
