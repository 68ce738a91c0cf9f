import KDBush from "kdbush";
import type { Mark } from "../job/schema.ts";
import { describe, inkMoments } from "./descriptor.ts";
import { likeness, mayBe, type Candidate, type ScaleRange } from "./find.ts";
import { patchOf } from "./resemblance.ts";
import { inkArea } from "./shapes.ts";

/** For every mark, the candidates that may be it, with what matching asks of them again and again. */
export interface Lineup {
  readonly marks: readonly Mark[];
  readonly candidates: readonly Candidate[];
  /** Per mark: indices of the candidates that may be it, the likest first. */
  readonly options: readonly (readonly number[])[];
  /** Scale (px per mm) at which candidate c is as spread out as mark m: by its second moments, since a threshold takes much of a thin stroke's area. */
  scaleOf(mark: number, candidate: number): number;
  /** Candidates that may be mark m within `radius` px of (x, y). */
  near(mark: number, x: number, y: number, radius: number): number[];
  /** Evidence (log) that candidate c is mark m and no look-alike, by its looks alone. */
  looks(mark: number, candidate: number): number;
  /** How many candidates that may be mark m there are per px^2 of the picture. */
  density(mark: number): number;
}

/** Lines the candidates up; `most` of each tone, those that look most like one, are kept per kind of mark. */
export function lineUp(marks: readonly Mark[], candidates: readonly Candidate[], scale: ScaleRange, pixels: number, most: number): Lineup {
  const extents = marks.map((m) => Math.sqrt(describe(...inkMoments(m), inkArea(m)).spread * inkArea(m)));
  const scaleOf = (m: number, c: number): number => Math.sqrt(candidates[c].spread * candidates[c].area) / extents[m];
  // Marks of one kind share their list and its index.
  const kinds = new Map<string, { list: number[]; index: KDBush; looks: Float64Array }>();
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
      const own = patchOf(mark);
      const likenesses = new Map(list.map((i) => [i, likeness(candidates[i], mark, own)]));
      const looks = new Float64Array(candidates.length);
      const ranks = new Map<number, number>();
      // Where a job leaves a mark's tone open, print of the other tone has no say in how much one stands out of its own.
      for (const tone of ["dark", "light"] as const) {
        const alike = list.filter((i) => candidates[i].tone === tone).sort((a, b) => (likenesses.get(b) ?? 0) - (likenesses.get(a) ?? 0)).slice(0, most);
        alike.forEach((i, rank) => {
          ranks.set(i, rank);
          looks[i] = speaksFor((rank + 1) / alike.length);
        });
      }
      const kept = [...ranks.keys()].sort((a, b) => (ranks.get(a) ?? 0) - (ranks.get(b) ?? 0));
      list.splice(0, list.length, ...kept);
      const index = new KDBush(Math.max(list.length, 1), 16, Float32Array);
      for (const i of list) index.add(candidates[i].x, candidates[i].y);
      if (list.length === 0) index.add(-1e9, -1e9);
      group = { list, index: index.finish(), looks };
      kinds.set(key, group);
    }
    return group;
  });
  return {
    marks, candidates, options: groups.map((g) => g.list), scaleOf,
    near: (m, x, y, radius) => within(groups[m], x, y, radius),
    looks: (m, c) => groups[m].looks[c],
    density: (m) => Math.max(groups[m].list.length, 1) / pixels,
  };
}

/** The candidates of a kind within `radius` px of (x, y). */
function within({ list, index }: { readonly list: readonly number[]; readonly index: KDBush }, x: number, y: number, radius: number): number[] {
  // The index of an empty list holds a point that is none.
  if (list.length === 0) return [];
  const found = index.within(x, y, radius);
  for (let k = 0; k < found.length; k++) found[k] = list[found[k]];
  return found;
}

/**
 * What it says for a candidate that only this share of the look-alikes look as much like the mark. Were it one of them, the share would be uniform: 1 / (2 sqrt(share)) has the
 * mean 1 then, so that it may stand as a likelihood ratio whatever the artwork (a calibrator of p-values: Shafer, Shen, Vereshchagin and Vovk 2011; from memory).
 */
function speaksFor(share: number): number {
  return -Math.log(2 * Math.sqrt(share));
}
