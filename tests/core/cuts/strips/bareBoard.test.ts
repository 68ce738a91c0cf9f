import { describe, expect, it } from "vitest";
import { bareBoard, lightOf } from "../../../../core/cuts/strips/bareBoard.ts";
import type { Mark } from "../../../../core/job/schema.ts";

const SIZE = 200;
const marks = [[30, 30], [100, 30], [170, 30], [30, 170], [170, 170]].map(([x, y], i): Mark => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
const toPicture = ({ x, y }: { x: number; y: number }) => ({ frame: "picture" as const, x, y });
const KRAFT = [0.44, 0.25, 0.12];

/** Kraft board with dark print over its upper part, on which the first marks stand. */
function sheet(channels: 1 | 3) {
  const data = new Uint16Array(SIZE * SIZE * channels);
  for (let y = 0; y < SIZE; y++) {
    for (let x = 0; x < SIZE; x++) for (let k = 0; k < channels; k++) data[(y * SIZE + x) * channels + k] = 65535 * (channels === 1 ? 0.27 : KRAFT[k]) * (y < 90 ? 0.2 : 1);
  }
  return { width: SIZE, height: SIZE, channels, data, transfer: "linear" as const };
}

describe("the bare board's light", () => {
  it("is that of the lightest grounds of the marks, plane by plane", () => {
    bareBoard(sheet(3), marks, toPicture).forEach((v, k) => expect(v).toBeCloseTo(KRAFT[k], 3));
    for (const v of bareBoard(sheet(1), marks, toPicture)) expect(v).toBeCloseTo(0.27, 3);
  });

  it("counts in a mix of planes by its size there, and is white where nothing shows it", () => {
    expect(lightOf([0.1, -0.2, -0.7], [0.44, 0.25, 0.12])).toBeCloseTo(0.09, 6);
    expect(bareBoard(sheet(3), [], toPicture)).toEqual([1, 1, 1]);
    expect(lightOf([1 / 3, 1 / 3, 1 / 3])).toBeCloseTo(1, 9);
  });
});
