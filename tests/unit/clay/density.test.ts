import { expect, test } from "vitest";
import { firedMassFraction, plasticDensity, wetMass } from "../../../src/dsl/clay/density.ts";

test.each([
  [0.18, 2.0186],
  [0.2, 1.9697],
  [0.22, 1.9231],
  [0.25, 1.8571],
])(
  "plastic clay with %f water: %f g/cm³ (derived from a grain density of 2.60, memory)",
  (water, density) => {
    expect(plasticDensity(water)).toBeCloseTo(density, 4);
  },
);

test("water 0.22 and loss on ignition 0.07 leave 0.7254 of the wet mass (derived)", () => {
  expect(firedMassFraction(0.22, 0.07)).toBeCloseTo(0.7254, 4);
});

test("100 cm³ of clay with 0.22 water weigh 192.31 g wet", () => {
  expect(wetMass(100_000, 0.22)).toBeCloseTo(192.31, 2);
});
