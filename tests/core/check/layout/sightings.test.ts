import { describe, expect, it } from "vitest";
import { withoutOthers } from "../../../../core/check/layout/sightings.ts";

const seen = (gain: number, blur: number) => ({ refined: { gain, blur } });
const usual = [seen(-0.012, 1.05), seen(-0.01, 1.01), seen(-0.001, 0.83), seen(-0.035, 0.8), seen(-0.019, 0.82)];

describe("marks that all are of one print", () => {
  it("are not joined by a patch of another size, bent into a mark's shape by blur", () => {
    expect(withoutOthers([...usual, seen(-0.314, 4.1)])).toEqual(usual);
    expect(withoutOthers([seen(0.3, 2.6), ...usual])).toEqual(usual);
  });

  it("may differ in what ink and focus do to them", () => {
    const differing = [...usual, seen(0.2, 1.1), seen(-0.02, 3)];
    expect(withoutOthers(differing)).toEqual(differing);
  });

  it("are all kept where so few say nothing of what is usual", () => {
    const few = [seen(0, 1), seen(0, 1), seen(0.5, 5)];
    expect(withoutOthers(few)).toEqual(few);
  });
});
