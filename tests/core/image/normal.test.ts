import { expect, it } from "vitest";
import { density, integral } from "../../../core/image/normal.ts";
import { normalCdf, normalDensity } from "../../../core/statistics/distributions.ts";

it("tabulates the normal integral and density to 1e-6 of the exact ones, at any place between the steps", () => {
  for (let z = -6.5; z <= 6.5; z += 0.00717) {
    expect(Math.abs(integral(z) - normalCdf(z))).toBeLessThan(1e-6);
    expect(Math.abs(density(z) - normalDensity(z))).toBeLessThan(1e-6);
  }
});
