import { expect, test } from "vitest";
import { seekCuts, type CutsSeen } from "../../../../core/check/tracing/cutsSeen.ts";
import type { Solution } from "../../../../core/check/fit/solution.ts";
import { refuse } from "../../../../core/check/refusals.ts";
import type { Strips } from "../../../../core/cuts/strips/strips.ts";
import type { SlitsAs, TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";

const strips: Strips = { paths: [], grid: { reach: 3, step: 0.1, count: 61, uneven: 0 }, blur: 0.1 };
const seen = (coverage: number): CutsSeen => ({ ok: true, solution: {} as Solution, paths: [], coverage });
const unseen: CutsSeen = { ok: false, refusal: refuse("cuts-not-found", "None.") };

function asked(answer: (as: SlitsAs) => CutsSeen): { ways: SlitsAs[]; result: CutsSeen } {
  const ways: SlitsAs[] = [];
  const result = seekCuts(strips, () => null, (_, as) => {
    ways.push(as);
    return answer(as);
  });
  return { ways, result };
}

test("cuts are sought as lines alone only where none were found else, and the first refusal stands where those are none either", () => {
  expect(asked(() => seen(0.9)).ways).toEqual([{}]);
  expect(asked(() => seen(0.45)).ways).toEqual([{}]);
  const lines = asked((as) => (as.edges === false ? seen(0.7) : unseen));
  expect(lines.ways).toHaveLength(2);
  expect(lines.result).toEqual(seen(0.7));
  const none = asked((as) => (as.edges === false ? { ok: false, refusal: refuse("cuts-not-found", "Other.") } : unseen));
  expect(none.result).toBe(unseen);
});

test("where nothing else was found, cuts are sought as dark lines alone: a bright line printed beside all of them is plainer than faint slits", () => {
  const dark = asked((as) => (as.bright === false ? seen(0.9) : unseen));
  expect(dark.ways.at(-1)).toEqual({ bright: false, edges: false });
  expect(dark.result).toEqual(seen(0.9));
});

test("where the bright lines found are lips with the slit between them, cuts are sought as dark lines alone, and what comes of that stands", () => {
  const chunk = (at: number): TracedChunk => {
    const profile = Float32Array.from({ length: 61 }, (_, i) => {
      const bump = (d: number): number => Math.exp(-0.5 * (((i - 30) * 0.1 - d) / 0.1) ** 2);
      return 0.33 + 0.2 * bump(0.3) - 0.15 * bump(0) + 0.12 * bump(-0.3);
    });
    return { chunk: { profile, nx: 1, ny: 0, stations: 5 }, found: true, t: at, share: 0.5 } as unknown as TracedChunk;
  };
  const lips = [{ kind: "cut", look: "line", chunks: Array.from({ length: 9 }, () => chunk(0.3)) }] as unknown as TracedPath[];
  const found = asked((as) => (as.bright === false ? seen(0.8) : { ...seen(0.9), paths: lips } as CutsSeen));
  expect(found.ways).toEqual([{}, { bright: false }]);
  expect(found.result).toEqual(seen(0.8));
});

test("cuts are sought by the print's colour where few are found by light, and what shows many more of them stands", () => {
  const hues: Strips = { ...strips };
  const sought = (byLight: CutsSeen, byHue: CutsSeen): CutsSeen => seekCuts(strips, () => hues, (some) => (some === hues ? byHue : byLight));
  expect(sought(unseen, seen(0.5))).toEqual(seen(0.5));
  expect(sought(seen(0.45), seen(0.8))).toEqual(seen(0.8));
  expect(sought(seen(0.45), seen(0.5))).toEqual(seen(0.45));
  expect(sought(seen(0.9), seen(1))).toEqual(seen(0.9));
  expect(sought(unseen, { ok: false, refusal: refuse("cuts-not-found", "Other.") })).toBe(unseen);
});
