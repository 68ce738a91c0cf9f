import { describe, expect, it } from "vitest";
import type { Picture } from "../../../core/image/picture.ts";
import { samplerOf } from "../../../core/image/sampler.ts";
import type { Mark } from "../../../core/job/schema.ts";
import type { PlaneMap } from "../../../core/marks/localMap.ts";
import { refineMark } from "../../../core/marks/refine.ts";

/**
 * A window drawn by plain supersampling (16 x 16 per pixel) and a blur by a box of 2 `box` + 1 pixels: nothing of the measuring code is used. Centres are whole
 * sixteenths of a pixel, so that the samples' own lattice does not move straight edges.
 */
const SIDE = 96;
const SCALE = 4;

function inside(mark: Mark, u: number, v: number): boolean {
  const r = Math.hypot(u, v);
  switch (mark.shape) {
    case "dot": return r < mark.diameter / 2;
    case "ring": return r < mark.outer / 2 && r > mark.inner / 2;
    case "square": return Math.max(Math.abs(u), Math.abs(v)) < mark.size / 2;
    case "checker": return r < mark.diameter / 2 && u * v > 0;
    case "cross": {
      const [a, b] = [Math.abs(u), Math.abs(v)];
      return Math.min(a, b) < mark.stroke / 2 && Math.max(a, b) < mark.size / 2;
    }
  }
}

function draw(mark: Mark, cx: number, cy: number, ink: number, board: number, box = 1): Picture {
  const light = new Float64Array(SIDE * SIDE);
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      let hits = 0;
      for (let j = 0; j < 16; j++) {
        for (let i = 0; i < 16; i++) {
          // Print y runs up, picture y down.
          if (inside(mark, (x + (i + 0.5) / 16 - 0.5 - cx) / SCALE, -(y + (j + 0.5) / 16 - 0.5 - cy) / SCALE)) hits++;
        }
      }
      light[y * SIDE + x] = board + ((ink - board) * hits) / 256;
    }
  }
  const data = new Uint16Array(SIDE * SIDE);
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      let sum = 0;
      let n = 0;
      for (let j = Math.max(0, y - box); j <= Math.min(SIDE - 1, y + box); j++) {
        for (let i = Math.max(0, x - box); i <= Math.min(SIDE - 1, x + box); i++, n++) sum += light[j * SIDE + i];
      }
      data[y * SIDE + x] = Math.round((sum / n) * 65535);
    }
  }
  return { width: SIDE, height: SIDE, channels: 1, data, transfer: "linear" };
}

const map: PlaneMap = {
  toPicture: (p) => ({ x: 48 + p.x * SCALE, y: 48 - p.y * SCALE }),
  toPrint: (q) => ({ x: (q.x - 48) / SCALE, y: (48 - q.y) / SCALE }),
};

const place = { id: "M", x: 0, y: 0 };
const marks: Mark[] = [
  { ...place, shape: "dot", diameter: 6 }, { ...place, shape: "ring", outer: 8, inner: 5 }, { ...place, shape: "square", size: 6 },
  { ...place, shape: "checker", diameter: 10 }, { ...place, shape: "cross", size: 10, stroke: 1 },
];

describe("refining a mark's centre", () => {
  it.each(marks)("$shape: finds a sub-pixel centre to 0.01 px, dark or light", (mark) => {
    for (const [cx, cy, ink, board] of [[47.3125, 48.8125, 0.05, 0.8], [48.4375, 46.875, 0.9, 0.3]]) {
      const found = refineMark(samplerOf(draw(mark, cx, cy, ink, board)), mark, map, { x: 48, y: 48 });
      expect(found.ok).toBe(true);
      if (!found.ok) return;
      expect(Math.hypot(found.at.x - cx, found.at.y - cy)).toBeLessThan(0.01);
      expect(Math.sign(found.contrast)).toBe(Math.sign(ink - board));
    }
  });

  it("checker: in light ink its dark quarters, the upper right and the lower left, are the board's; a dark one so is another mark", () => {
    const checker = marks[3];
    const mirrored = (ink: number, board: number): Picture => {
      const picture = draw(checker, 47.3125, 48.8125, ink, board);
      return { ...picture, data: Uint16Array.from(picture.data, (_, i) => picture.data[i - (i % SIDE) + SIDE - 1 - (i % SIDE)]) };
    };
    const light = refineMark(samplerOf(mirrored(0.9, 0.3)), checker, map, { x: 48, y: 48 });
    if (!light.ok) throw new Error(light.reason);
    expect(Math.hypot(light.at.x - (SIDE - 1 - 47.3125), light.at.y - 48.8125)).toBeLessThan(0.01);
    expect(refineMark(samplerOf(mirrored(0.05, 0.8)), checker, map, { x: 48, y: 48 }).ok).toBe(false);
  });

  it.each(marks)("$shape: a half turn of the picture moves the centre with it, to 0.01 px", (mark) => {
    const picture = draw(mark, 47.3125, 48.8125, 0.05, 0.8);
    const turned: Picture = { ...picture, data: Uint16Array.from(picture.data).reverse() };
    const a = refineMark(samplerOf(picture), mark, map, { x: 47, y: 49 });
    const b = refineMark(samplerOf(turned), mark, map, { x: SIDE - 1 - 47, y: SIDE - 1 - 49 });
    if (!a.ok || !b.ok) throw new Error("not found");
    expect(Math.hypot(SIDE - 1 - b.at.x - a.at.x, SIDE - 1 - b.at.y - a.at.y)).toBeLessThan(0.01);
  });

  /** As an unsharp mask leaves it: the picture plus so much of what it has over its own blurred self. */
  const sharpened = (picture: Picture, amount: number): Picture => {
    const light = picture.data;
    const at = (x: number, y: number): number => light[Math.max(0, Math.min(SIDE - 1, y)) * SIDE + Math.max(0, Math.min(SIDE - 1, x))];
    const data = Uint16Array.from(light, (v, i) => {
      let sum = 0;
      for (let dy = -1; dy <= 1; dy++) for (let dx = -1; dx <= 1; dx++) sum += at((i % SIDE) + dx, Math.floor(i / SIDE) + dy);
      return Math.max(0, Math.min(65535, Math.round(v + amount * (v - sum / 9))));
    });
    return { ...picture, data };
  };

  it.each(marks)("$shape: finds it to a quarter of a pixel in a picture that was sharpened until its edges are steeper than pixels", (mark) => {
    for (const [cx, cy] of [[47.3125, 48.8125], [48.4375, 46.875], [48, 48.5]]) {
      const found = refineMark(samplerOf(sharpened(draw(mark, cx, cy, 0.3, 0.6, 0), 1.4)), mark, map, { x: 48, y: 48 });
      if (!found.ok) throw new Error(found.reason);
      expect(Math.hypot(found.at.x - cx, found.at.y - cy)).toBeLessThan(0.25);
    }
  });

  it("is not drawn aside by a printed edge near by", () => {
    const square: Mark = { ...place, shape: "square", size: 5 };
    const inHole = draw(square, 47.3125, 48.8125, 0.9, 0.5);
    // Dark print up to the edge of the part that is left out for the mark, which lies a little to one side.
    const data = Uint16Array.from(inHole.data, (v, i) => {
      const r = Math.hypot((i % SIDE) - 48.9, Math.floor(i / SIDE) - 48.9) / SCALE;
      return Math.round(v - 65535 * 0.35 * Math.max(0, Math.min(1, (r - 4.6) * SCALE + 0.5)));
    });
    const found = refineMark(samplerOf({ ...inHole, data }), square, map, { x: 48, y: 48 });
    if (!found.ok) throw new Error(found.reason);
    expect(Math.hypot(found.at.x - 47.3125, found.at.y - 48.8125)).toBeLessThan(0.05);
  });

  it("finds no dot on a bare board, and no ring where a dot is", () => {
    const bare = draw(marks[0], 400, 400, 0.1, 0.8);
    expect(refineMark(samplerOf(bare), marks[0], map, { x: 48, y: 48 }).ok).toBe(false);
    const dot = draw({ ...place, shape: "dot", diameter: 8 }, 48, 48, 0.1, 0.8);
    expect(refineMark(samplerOf(dot), marks[1], map, { x: 48, y: 48 }).ok).toBe(false);
  });

  it("tells dot gain as gain and leaves the centre", () => {
    const fat = draw({ ...place, shape: "dot", diameter: 6.4 }, 47.3125, 48.8125, 0.05, 0.8);
    // 0.2 mm of gain are 0.8 px of edge: the window still holds it.
    const found = refineMark(samplerOf(fat), marks[0], map, { x: 48, y: 48 });
    if (!found.ok) throw new Error(found.reason);
    expect(found.gain).toBeCloseTo(0.2, 1);
    expect(Math.hypot(found.at.x - 47.3125, found.at.y - 48.8125)).toBeLessThan(0.02);
  });

  it.each(["uneven light, a tenth across the mark, on ink and board alike", "glare, a twentieth of the board across the mark, added to both"])("is not moved by %s", (kind) => {
    const mark: Mark = { id: "M", x: 0, y: 0, shape: "dot", diameter: 10 };
    const even = draw(mark, 48.25, 47.5, 0.2, 0.8);
    const data = Uint16Array.from(even.data, (v, i) => {
      const across = ((i % SIDE) - 48) / 20;
      return Math.round(kind.startsWith("uneven") ? v * (1 + 0.1 * across) * 0.8 : v * 0.9 + 65535 * 0.8 * 0.05 * (across + 1));
    });
    const found = refineMark(samplerOf({ ...even, data }), mark, map, { x: 48, y: 48 });
    if (!found.ok) throw new Error(found.reason);
    expect(Math.hypot(found.at.x - 48.25, found.at.y - 47.5)).toBeLessThan(0.01);
  });
});
