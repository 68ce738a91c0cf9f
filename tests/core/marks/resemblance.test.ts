import { describe, expect, it } from "vitest";
import type { Picture } from "../../../core/image/picture.ts";
import type { Job, Mark } from "../../../core/job/schema.ts";
import { findCandidates, type Candidate } from "../../../core/marks/find.ts";
import { lineUp } from "../../../core/marks/lineup.ts";
import { patchOf, resemblance } from "../../../core/marks/resemblance.ts";

/** Shapes drawn by plain supersampling under an affine view, px of the picture per mm; nothing of the measuring code is used. */
type Inside = (u: number, v: number) => boolean;
const SCALE = 3;
const SIDE = 160;

const marks = {
  dot: { id: "D", shape: "dot", x: 0, y: 0, diameter: 8 }, ring: { id: "R", shape: "ring", x: 0, y: 0, outer: 10, inner: 6.6 }, square: { id: "S", shape: "square", x: 0, y: 0, size: 8 },
  cross: { id: "X", shape: "cross", x: 0, y: 0, size: 11, stroke: 2 }, checker: { id: "C", shape: "checker", x: 0, y: 0, diameter: 11 },
} as const satisfies Record<string, Mark>;

const box = (u: number, v: number, x: number, y: number, w: number, h: number): boolean => Math.abs(u - x) < w / 2 && Math.abs(v - y) < h / 2;
const shapes: Record<keyof typeof marks, Inside> = {
  dot: (u, v) => Math.hypot(u, v) < 4, ring: (u, v) => Math.hypot(u, v) < 5 && Math.hypot(u, v) > 3.3, square: (u, v) => box(u, v, 0, 0, 8, 8),
  cross: (u, v) => box(u, v, 0, 0, 11, 2) || box(u, v, 0, 0, 2, 11), checker: (u, v) => Math.hypot(u, v) < 5.5 && u * v > 0,
};
/** Letters, which text is full of. */
const letters: Record<string, Inside> = {
  E: (u, v) => box(u, v, -2.5, 0, 2, 9) || [-3.6, 0, 3.6].some((y) => box(u, v, 0.5, y, 6, 1.8)), L: (u, v) => box(u, v, -2, 0, 2, 9) || box(u, v, 0, -3.6, 6, 1.8),
  T: (u, v) => box(u, v, 0, 0, 2, 9) || box(u, v, 0, 3.6, 7, 1.8), N: (u, v) => box(u, v, -2.7, 0, 1.8, 9) || box(u, v, 2.7, 0, 1.8, 9) || (Math.abs(u + 0.62 * v) < 1 && Math.abs(v) < 4.5),
  U: (u, v) => box(u, v, -2.7, 0, 1.8, 9) || box(u, v, 2.7, 0, 1.8, 9) || box(u, v, 0, -3.6, 7, 1.8), P: (u, v) => box(u, v, -2.5, 0, 1.8, 9) || (Math.hypot(u, v - 2) < 3 && Math.hypot(u, v - 2) > 1.2),
};

/** One shape in the middle of a picture, turned and then foreshortened along x as a tilt does. */
function draw(inside: Inside, turn: number, foreshortening: number, ink: number, board: number): Picture {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const data = new Uint8Array(SIDE * SIDE);
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      let hits = 0;
      for (let j = 0; j < 4; j++) {
        for (let i = 0; i < 4; i++) {
          const px = (x + (i + 0.5) / 4 - 0.5 - SIDE / 2) / SCALE / foreshortening;
          const py = -(y + (j + 0.5) / 4 - 0.5 - SIDE / 2) / SCALE;
          if (inside(c * px + s * py, -s * px + c * py)) hits++;
        }
      }
      data[y * SIDE + x] = board + ((ink - board) * hits) / 16;
    }
  }
  return { width: SIDE, height: SIDE, channels: 1, data, transfer: "srgb" };
}

const scale = { least: 1, likely: SCALE, most: 6 };
const jobOf = (mark: Mark): Job => ({ marks: [mark] }) as unknown as Job;

/** The patch in the picture's middle, as it is found on a copy of half its size. */
function found(picture: Picture, mark: Mark, tone: "dark" | "light" = "dark"): Candidate | undefined {
  const near = findCandidates(picture, jobOf(mark), scale, 2, "grey").filter((c) => c.tone === tone && Math.hypot(c.x - SIDE / 2, c.y - SIDE / 2) < 6);
  return near.sort((a, b) => resemblance(b.patch, patchOf(mark), mark) - resemblance(a.patch, patchOf(mark), mark))[0];
}

const kinds = Object.keys(marks) as (keyof typeof marks)[];
const TURNS = [0, 0.35, 0.9, 1.3];

describe("what a patch looks like", () => {
  it("is a mark's own shape whatever its turn and tilt (to 30 deg), on a copy that shows it ten pixels wide", () => {
    for (const kind of kinds) {
      for (const turn of TURNS) {
        for (const tilt of [1, Math.cos(Math.PI / 6)]) {
          const candidate = found(draw(shapes[kind], turn, tilt, 40, 220), marks[kind]);
          expect(candidate && resemblance(candidate.patch, patchOf(marks[kind]), marks[kind])).toBeGreaterThan(0.93);
        }
      }
    }
  });

  it("is another than that of the other marks, but for a dot beside a square, and than that of letters", () => {
    for (const kind of kinds) {
      const own = patchOf(marks[kind]);
      for (const other of kinds) {
        if (other === kind || (["dot", "square"].includes(kind) && ["dot", "square"].includes(other))) continue;
        expect(resemblance(patchOf(marks[other]), own, marks[kind])).toBeLessThan(0.88);
      }
      for (const letter of Object.values(letters)) {
        for (const turn of TURNS) {
          const candidate = found(draw(letter, turn, 1, 40, 220), marks[kind]);
          if (candidate) expect(resemblance(candidate.patch, own, marks[kind])).toBeLessThan(0.9);
        }
      }
    }
  });

  it("does not go by tone or contrast", () => {
    const candidate = found(draw(shapes.cross, 0.4, 0.95, 120, 90), marks.cross, "light");
    expect(candidate && resemblance(candidate.patch, patchOf(marks.cross), marks.cross)).toBeGreaterThan(0.93);
  });
});

describe("lining candidates up", () => {
  it("tells the scale by how far a patch is spread, which a threshold leaves alone: thin strokes too, to 7 %", () => {
    for (const kind of kinds) {
      const candidate = found(draw(shapes[kind], 0.35, 1, 40, 220), marks[kind]);
      if (!candidate) throw new Error(`${kind} not found`);
      const lineup = lineUp([marks[kind]], [candidate], scale, SIDE * SIDE, 60);
      expect(Math.abs(Math.log(lineup.scaleOf(0, 0) / SCALE))).toBeLessThan(0.07);
    }
  });

  it("keeps the likest of each tone, so that dark print does not push light marks out, and believes a candidate the more the fewer look as much like the mark", () => {
    const dot = found(draw(shapes.dot, 0, 1, 40, 220), marks.dot);
    const light = found(draw(shapes.dot, 0, 1, 120, 90), marks.dot, "light");
    if (!dot || !light) throw new Error("not found");
    const square = found(draw(shapes.square, 0, 1, 40, 220), marks.square);
    if (!square) throw new Error("not found");
    const many = [light, ...Array.from({ length: 40 }, (_, i) => ({ ...square, x: 10 + 4 * i })), dot];
    const lineup = lineUp([marks.dot], many, scale, SIDE * SIDE, 10);
    expect(lineup.options[0]).toContain(0);
    expect(lineup.options[0].length).toBe(11);
    expect(lineup.looks(0, 41)).toBeGreaterThan(0.4);
    expect(Math.min(...lineup.options[0].map((c) => lineup.looks(0, c)))).toBeLessThan(-0.6);
  });
});
