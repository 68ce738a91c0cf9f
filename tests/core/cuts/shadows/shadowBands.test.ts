import { describe, expect, it } from "vitest";
import { fading } from "../../../../core/cuts/profile/blurred.ts";
import { endsOfBands } from "../../../../core/cuts/shadows/shadowBands.ts";
import type { TracedChunk } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.2;
type Colour = readonly [number, number, number];
const FACE: Colour = [0.06, 0.04, 0.08];
const TABLE: Colour = [0.62, 0.6, 0.56];
const SHADED: Colour = [0.27, 0.26, 0.25];
const KRAFT: Colour = [0.4, 0.25, 0.13];

/** Light of red, green or blue (k) at t mm outwards from where an edge was found. */
type Light = (k: number, t: number) => number;

/** A dark face, a band so wide (mm) and the lighter table; the band's outer end is what was found. */
const banded = (band: number, colour: Colour): Light => (k, t) => FACE[k] + (colour[k] - FACE[k]) * integral((t + band) / WIDTH) + (TABLE[k] - colour[k]) * integral(t / WIDTH);

/** A piece of outline facing (nx, ny). */
function outline(nx: number, ny: number, light: Light, s: number): TracedChunk {
  const profile = Float32Array.from({ length: grid.count }, (_, i) => light(1, i * grid.step - grid.reach));
  const colours = (about: number, half: number, step: number): Float64Array[] => [0, 1, 2].map((k) => Float64Array.from({ length: 2 * half + 1 }, (_, i) => light(k, about + (i - half) * step)));
  return { chunk: { ...chunkWith({ at: 0, width: WIDTH, depth: 0 }), nx, ny, s, profile, colours }, found: true, t: 0, sigma: 0.01, bias: 0, significance: 30, share: 0.3 };
}

const SIDES = [[1, 0], [0, 1], [-1, 0], [0, -1]] as const;
const pathOf = (bands: readonly number[], colour = SHADED) => ({
  away: 1 as const, width: WIDTH, chunks: SIDES.flatMap(([nx, ny], k) => Array.from({ length: 8 }, (_, i) => outline(nx, ny, banded(bands[k], colour), 10 * k + i))),
});
const EDGE = 0;

describe("bands of shadow on a table that is lighter than they are, beside a dark face", () => {
  it("are told, with what is beside them, on the sides away from the light", () => {
    const { shadowed: told, hidden } = endsOfBands(pathOf([1.4, 0.9, EDGE, EDGE]), grid);
    expect(hidden.size).toBe(0);
    expect([...told.keys()].sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 14, 15]);
    expect(told.get(0)?.length).toBe(8);
  });

  it("leave the face's own edge in the profile once their end is taken out", () => {
    const [chunk] = endsOfBands(pathOf([1.4, EDGE, EDGE, EDGE]), grid).shadowed.get(0) ?? [];
    const at = (t: number): number => chunk.profile[Math.round((t + grid.reach) / grid.step)];
    expect(Math.abs(at(-0.5) - at(1))).toBeLessThan(0.02);
    expect(at(-0.5) - at(-2.2)).toBeCloseTo(SHADED[1] - FACE[1], 1);
  });

  it("are none in even light, and none on opposite sides of a piece", () => {
    expect(endsOfBands(pathOf([EDGE, EDGE, EDGE, EDGE]), grid).shadowed.size).toBe(0);
    const told = [...endsOfBands(pathOf([1.4, EDGE, 1, EDGE]), grid).shadowed].filter(([, chunks]) => chunks.length > 0);
    expect(told.length).toBe(1);
  });

  it("are not the bare board of a cut beside its print, which has a colour of its own or is as light as the table", () => {
    expect(endsOfBands(pathOf([1.4, EDGE, EDGE, EDGE], KRAFT), grid).shadowed.size).toBe(0);
    expect(endsOfBands(pathOf([1.4, EDGE, EDGE, EDGE], [0.55, 0.54, 0.5]), grid).shadowed.size).toBe(0);
  });

  it("are not the soft shade at the foot of a board, which has no end", () => {
    const soft: Light = (k, t) => FACE[k] + (TABLE[k] - FACE[k]) * integral((t + 0.2) / (1.4 * WIDTH)) - 0.45 * TABLE[k] * fading(t + 0.2, 1.8, WIDTH);
    const chunks = SIDES.flatMap(([nx, ny], k) => Array.from({ length: 8 }, (_, i) => outline(nx, ny, k < 2 ? soft : banded(EDGE, SHADED), 10 * k + i)));
    expect(endsOfBands({ away: 1, width: WIDTH, chunks }, grid).shadowed.size).toBe(0);
  });

  it("are soft where the light is: what was found in them is not the edge, which shows once their softness is taken out", () => {
    const foot: Colour = [0.2, 0.19, 0.18];
    const [ends, reach] = [-1.8, 1.6];
    const soft: Light = (k, t) => FACE[k] + (TABLE[k] - FACE[k]) * integral((t - ends) / WIDTH) - (TABLE[k] - foot[k]) * fading(t - ends, reach, WIDTH);
    const chunks = SIDES.flatMap(([nx, ny], k) => Array.from({ length: 8 }, (_, i) => outline(nx, ny, k < 1 ? soft : banded(EDGE, SHADED), 10 * k + i)));
    const { shadowed: told } = endsOfBands({ away: 1, width: WIDTH, chunks }, grid);
    expect([...told.keys()].sort((a, b) => a - b)).toEqual([0, 1, 2, 14, 15]);
    const [chunk] = told.get(0) ?? [];
    const at = (t: number): number => chunk.profile[Math.round((t + grid.reach) / grid.step)];
    expect(Math.abs(at(ends + 0.6) - at(1))).toBeLessThan(0.03);
    expect(Math.abs(at(ends - 0.6) - FACE[1])).toBeLessThan(0.03);
  });

  it("that are darker than the face too hide where it ends; those all round are the piece's own print", () => {
    const dark: Colour = [0.02, 0.02, 0.03];
    const { shadowed, hidden } = endsOfBands(pathOf([1.4, EDGE, EDGE, EDGE], dark), grid);
    expect([[...hidden], shadowed.size]).toEqual([[0], 0]);
    expect(endsOfBands(pathOf([1.4, 1.4, 1.4, 1.4], dark), grid).hidden.size).toBe(0);
  });

  it("cannot be told in a grey picture", () => {
    const { chunks, ...path } = pathOf([1.4, 0.9, EDGE, EDGE]);
    expect(endsOfBands({ ...path, chunks: chunks.map(({ chunk: { colours: _colours, ...chunk }, ...c }) => ({ ...c, chunk })) }, grid).shadowed.size).toBe(0);
  });
});
