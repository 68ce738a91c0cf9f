import { describe, expect, it } from "vitest";
import { isHue, outlineMixes } from "../../../../core/cuts/strips/outlinePlane.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import { samplerOf } from "../../../../core/image/sampler.ts";
import type { Station } from "../../../../core/job/walk.ts";
import { randomOf } from "../../../../core/sample/random.ts";

const SIZE = 300;
const EDGE = 150;
const SHADE = 165;
const LIGHT: readonly [number, number, number] = [0.5, 0.52, 0.48];

/** A piece on a table that gets darker downwards; the piece's shadow takes half of the table's light for 1.5 mm beside it. 10 px/mm, with noise. */
function pieceOf(colour: readonly [number, number, number], noise = 0.003, table = LIGHT): Picture {
  const random = randomOf(3);
  const data = new Uint16Array(3 * SIZE * SIZE);
  for (let y = 0; y < SIZE; y++) {
    for (let x = 0; x < SIZE; x++) {
      const fall = 1 - (0.5 * y) / SIZE;
      for (let k = 0; k < 3; k++) {
        const light = fall * (x < EDGE ? colour[k] : table[k] * (x < SHADE ? 0.5 : 1)) + noise * random.normal();
        data[3 * (y * SIZE + x) + k] = Math.max(0, Math.min(1, light)) * 65535;
      }
    }
  }
  return { width: SIZE, height: SIZE, channels: 3, data, transfer: "linear" };
}

const stations = Array.from({ length: 200 }, (_, i): Station => ({ s: i / 10, x: EDGE / 10, y: 5 + i / 10, nx: 1, ny: 0, tx: 0, ty: 1, corner: 9 }));
/** Means down the middle rows of what is sampled on the piece, in the shadow and on the table. */
function seenIn(picture: Picture): { piece: number; shadow: number; table: number } {
  const sampler = samplerOf(picture, outlineMixes(picture, stations, (p) => ({ x: 10 * p.x, y: 10 * p.y })).sought(stations) ?? undefined);
  const mean = (from: number): number => {
    let sum = 0;
    for (let y = 120; y < 180; y++) for (let x = from; x < from + 10; x++) sum += sampler.at(x, y);
    return sum / 600;
  };
  return { piece: mean(130), shadow: mean(153), table: mean(200) };
}

describe("the planes in which an outline is sought", () => {
  it("a coloured piece's shadow on the table does not show in them", () => {
    for (const colour of [[0.05, 0.25, 0.6], [0.6, 0.1, 0.1], [0.1, 0.4, 0.15]] as const) {
      const { piece, shadow, table } = seenIn(pieceOf(colour));
      expect(Math.abs(piece - table)).toBeGreaterThan(0.08);
      expect(Math.abs(shadow - table)).toBeLessThan(0.1 * Math.abs(piece - table));
    }
  });

  it("kraft on a white table is sought in what is plain in grey, and its hue left to tell a shadow's end by", () => {
    const table = [0.92, 0.93, 0.88] as const;
    const { sought, hue } = outlineMixes(pieceOf([0.45, 0.24, 0.14], 0.003, table), stations, (p) => ({ x: 10 * p.x, y: 10 * p.y }));
    const along = (mix: readonly number[] | null, colour: readonly number[]): number => (mix ?? []).reduce((sum, w, k) => sum + w * colour[k], 0);
    const mix = sought(stations);
    expect(Math.abs(along(mix, table) - along(mix, [0.45, 0.24, 0.14]))).toBeGreaterThan(0.4);
    expect(Math.abs(along(hue, table))).toBeLessThan(0.05);
  });

  it("a plane that is overexposed on one side counts for nothing: its edge lies where its light falls below what the picture holds", () => {
    const mixOf = (red: number): readonly number[] => outlineMixes(pieceOf([red, 0.35, 0.6], 0.003, [0.25, 0.22, 0.18]), stations, (p) => ({ x: 10 * p.x, y: 10 * p.y })).sought(stations) ?? [];
    expect(Math.abs(mixOf(0.9)[0])).toBeGreaterThan(0.2);
    expect(Math.abs(mixOf(1.6)[0])).toBeLessThan(0.01);
  });

  it("a green piece on a darker brown table is sought in light: no end of a shadow passes for its edge, and halved colours draw that aside", () => {
    const mix = outlineMixes(pieceOf([0.3, 0.55, 0.35], 0.003, [0.19, 0.11, 0.06]), stations, (p) => ({ x: 10 * p.x, y: 10 * p.y })).sought(stations) ?? [1, 1, 1];
    expect(isHue(mix)).toBe(false);
    // As light as the table it is sought in hues, where the shadow does not show.
    expect(isHue(outlineMixes(pieceOf([0.15, 0.4, 0.1], 0.003, [0.3, 0.2, 0.15]), stations, (p) => ({ x: 10 * p.x, y: 10 * p.y })).sought(stations) ?? [1, 1, 1])).toBe(true);
  });

  it("a hue too faint in the noise to seek in is left to tell a shadow's end by, where the shadowed table may be as light as the piece", () => {
    const mixesOf = (colour: readonly [number, number, number]) => outlineMixes(pieceOf(colour, 0.02), stations, (p) => ({ x: 10 * p.x, y: 10 * p.y }));
    const kraft = mixesOf([0.3, 0.25, 0.18]);
    const along = (colour: readonly number[]): number => (kraft.hue ?? [0, 0, 0]).reduce((sum, w, k) => sum + w * colour[k], 0);
    const [piece, table] = [along([0.3, 0.25, 0.18]), along(LIGHT)];
    expect(piece).toBeGreaterThan(table);
    // In half its light the table stays nearer to itself than to the piece; in grey it comes within a twentieth of it.
    expect(Math.abs(0.5 * table - table)).toBeLessThan(0.5 * (piece - table));
    expect(mixesOf([0.05, 0.04, 0.03]).hue).toBeNull();
    expect(mixesOf([0.7, 0.62, 0.5]).hue).toBeNull();
  });

  it("are for each piece of an outline its own where the artwork goes from one colour to another, each as light as the table in grey", () => {
    const [cyan, yellow, table] = [[0.05, 0.6, 0.85], [0.85, 0.6, 0.05], [0.5, 0.5, 0.5]] as const;
    const picture = pieceOf(yellow, 0.003, table);
    const [upper, rest] = [pieceOf(cyan, 0.003, table).data, picture.data];
    rest.set(upper.subarray(0, 3 * SIZE * (SIZE / 2)));
    const { sought } = outlineMixes(picture, stations, (p) => ({ x: 10 * p.x, y: 10 * p.y }));
    const apart = (from: number, to: number, colour: readonly number[]): number => {
      const mix = sought(stations.slice(from, to));
      return (mix ?? []).reduce((sum, w, k) => sum + w * (colour[k] - table[k]), 0);
    };
    expect(apart(0, 50, cyan)).toBeGreaterThan(0.2);
    expect(apart(150, 200, yellow)).toBeGreaterThan(0.2);
  });

  it("a piece of the table's own colour is told by how light it is", () => {
    const { piece, table } = seenIn(pieceOf([0.2, 0.208, 0.192]));
    expect(Math.abs(piece - table)).toBeGreaterThan(0.1);
  });
});
