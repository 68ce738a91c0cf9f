import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { holds } from "../../../fuzz/holds.ts";
import { FORMATS, mutation, seedsOf } from "../../../fuzz/mutations.ts";

/** A short run of `npm run fuzz`, which takes 10,000 of each, each in a thread with bounds on time and memory. */
const COUNT = 150;
const SEED = 2;

beforeAll(() => void vi.spyOn(console, "warn").mockImplementation(() => undefined));
afterAll(() => void vi.restoreAllMocks());

describe("damaged drawings are read to a job or refused in a sentence", () => {
  it.each(FORMATS)("%s", async (format) => {
    const seeds = await seedsOf(format);
    const counts = { read: 0, refused: 0 };
    for (let index = 0; index < COUNT; index++) counts[await holds(format, mutation(format, seeds, SEED, index))]++;
    // Both kinds must come, or the damage is too slight or too coarse to test anything.
    expect(counts.read).toBeGreaterThan(COUNT / 10);
    expect(counts.refused).toBeGreaterThan(0);
  });
});
