import KDBush from "kdbush";
import type { Mark } from "../job/schema.ts";
import { likeness, mayBe, type Candidate, type ScaleRange } from "./find.ts";
import { inkArea } from "./shapes.ts";

/** For every mark, the candidates that may be it, with what matching asks of them again and again. */
export interface Lineup {
  readonly marks: readonly Mark[];
  readonly candidates: readonly Candidate[];
  /** Per mark: indices of the candidates that may be it, the likest first. */
  readonly options: readonly (readonly number[])[];
  /** Scale (px per mm) at which candidate c has the ink area of mark m. */
  scaleOf(mark: number, candidate: number): number;
  /** Candidates that may be mark m within `radius` px of (x, y). */
  near(mark: number, x: number, y: number, radius: number): number[];
  /** How many candidates that may be mark m there are per px^2 of the picture. */
  density(mark: number): number;
}

/** Lines the candidates up; `most` of them, those that look most like one, are kept per kind of mark. */
export function lineUp(marks: readonly Mark[], candidates: readonly Candidate[], scale: ScaleRange, pixels: number, most: number): Lineup {
  const roots = marks.map((m) => Math.sqrt(inkArea(m)));
  const scaleOf = (m: number, c: number): number => Math.sqrt(candidates[c].area) / roots[m];
  // Marks of one kind share their list and its index.
  const kinds = new Map<string, { list: number[]; index: KDBush }>();
  const groups = marks.map((mark, m) => {
    const { id: _id, x: _x, y: _y, ...kind } = mark;
    const key = JSON.stringify(kind);
    let group = kinds.get(key);
    if (!group) {
      const list: number[] = [];
      candidates.forEach((c, i) => {
        const s = scaleOf(m, i);
        if (s >= scale.least && s <= scale.most && mayBe(c, mark)) list.push(i);
      });
      const looks = new Map(list.map((i) => [i, likeness(candidates[i], mark)]));
      list.sort((a, b) => (looks.get(b) ?? 0) - (looks.get(a) ?? 0));
      list.length = Math.min(list.length, most);
      const index = new KDBush(Math.max(list.length, 1), 16, Float32Array);
      for (const i of list) index.add(candidates[i].x, candidates[i].y);
      if (list.length === 0) index.add(-1e9, -1e9);
      group = { list, index: index.finish() };
      kinds.set(key, group);
    }
    return group;
  });
  return {
    marks, candidates, options: groups.map((g) => g.list), scaleOf,
    near: (m, x, y, radius) => groups[m].index.within(x, y, radius).filter((k) => k < groups[m].list.length).map((k) => groups[m].list[k]),
    density: (m) => Math.max(groups[m].list.length, 1) / pixels,
  };
}
