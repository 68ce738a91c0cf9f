import { homographyFromFour } from "../../geometry/homography.ts";
import { derivativeAt } from "../../geometry/transform.ts";
import type { Picture } from "../../image/picture.ts";
import { samplerOf } from "../../image/sampler.ts";
import type { Mark } from "../../job/schema.ts";
import { findCandidates, findingFactor, mayBe, scaleRange } from "../../marks/find.ts";
import type { Candidate } from "../../marks/find.ts";
import { refineMark } from "../../marks/refine.ts";
import type { TargetPoint } from "../calibrate/model.ts";
import { isSeen, pictureDerivative, project, toPicture, toPrint } from "../view.ts";
import type { View } from "../view.ts";
import { marksOf, searchJob } from "./dots.ts";
import type { DotTarget } from "./target.ts";
import { roughView } from "./seen.ts";
import type { Sighting } from "./seen.ts";

export type FoundTarget = { readonly ok: true; readonly points: readonly TargetPoint[] } | { readonly ok: false; readonly reason: string };

/** A candidate counts as a dot where it lies within this share of the pitch of where the dot should be. */
const NEAR = 0.3;
/** Share of the dots within the picture that must be seen. */
const ENOUGH = 0.5;
/** More ring-like patches than this are not tried (the tries grow with the fourth power). */
const MOST_RINGS = 14;

/**
 * Finds the target in a picture and measures its dots to sub-pixel with the code that measures marks. The four rings give
 * a first view; a lens term is added as more dots are recognised.
 */
export function findDots(picture: Picture, target: DotTarget): FoundTarget {
  const marks = marksOf(target);
  const job = searchJob(target, marks);
  const range = scaleRange(job, picture);
  const scale = { ...range, most: 1.6 * range.most };
  const candidates = findCandidates(picture, job, scale, findingFactor(job, 0.8 * range.likely), "grey");
  const rings = ringCandidates(candidates, marks, target);
  if (rings.length < 4) return { ok: false, reason: "the four rings in the middle of the target were not found" };
  const first = firstView(rings, candidates, marks, target);
  if (!first) return { ok: false, reason: "the dots around the rings do not make up the target" };
  let view = first;
  let seen: { mark: Mark; sighting: Sighting }[] = [];
  for (let round = 0; round < 6; round++) {
    const before = seen.length;
    seen = recognised(view, candidates, marks, target, picture);
    const next = roughView(seen.map((s) => s.sighting), picture.width, picture.height);
    if (!next) break;
    view = next;
    if (seen.length === before) break;
  }
  return measured(picture, view, seen, marks, target);
}

function ringCandidates(candidates: readonly Candidate[], marks: readonly Mark[], target: DotTarget): Candidate[] {
  const ring = marks[indexOf(target.rings[0], target)];
  const dot = marks.find((m) => m.shape === "dot") ?? ring;
  const likely = candidates.filter((c) => c.tone === "dark" && mayBe(c, ring) && !mayBe(c, dot));
  return likely.sort((a, b) => b.peak - a.peak).slice(0, MOST_RINGS);
}

function indexOf([column, row]: readonly [number, number], target: DotTarget): number {
  return row * target.columns + column;
}

/** Every way to put four patches on the four rings; the one under which most dots near the rings lie on patches. */
function firstView(rings: readonly Candidate[], candidates: readonly Candidate[], marks: readonly Mark[], target: DotTarget): View | null {
  const places = target.rings.map((r) => marks[indexOf(r, target)]);
  const around = dotsAround(marks, target);
  let best: View | null = null;
  let most = 0.8 * around.length;
  const n = rings.length;
  for (let a = 0; a < n; a++) for (let b = 0; b < n; b++) for (let c = 0; c < n; c++) for (let d = 0; d < n; d++) {
    if (a === b || a === c || a === d || b === c || b === d || c === d) continue;
    const homography = homographyFromFour<"print", "picture">([a, b, c, d].map((k, i) => ({ from: places[i], to: rings[k] })));
    if (!homography) continue;
    const [p, q, r, s] = derivativeAt(homography, places[0].x, places[0].y);
    // Seen from its printed side the target's y axis points up and the picture's down: the determinant is negative.
    if (!(p * s - q * r < 0)) continue;
    const view: View = { homography, lens: null };
    const count = agreements(view, candidates, around, target, most);
    if (count > most) {
      most = count;
      best = view;
    }
  }
  return best;
}

/** The dots within the box of the rings. */
function dotsAround(marks: readonly Mark[], { rings, columns }: DotTarget): Mark[] {
  const [cs, rs] = [rings.map((r) => r[0]), rings.map((r) => r[1])];
  return marks.filter((m, i) => {
    const [c, r] = [i % columns, Math.floor(i / columns)];
    return m.shape === "dot" && c >= Math.min(...cs) && c <= Math.max(...cs) && r >= Math.min(...rs) && r <= Math.max(...rs);
  });
}

function agreements(view: View, candidates: readonly Candidate[], dots: readonly Mark[], target: DotTarget, toBeat: number): number {
  let count = 0;
  for (let i = 0; i < dots.length; i++) {
    if (nearest(view, candidates, dots[i], target)) count++;
    else if (count + dots.length - 1 - i <= toBeat) return 0;
  }
  return count;
}

function nearest(view: View, candidates: readonly Candidate[], mark: Mark, target: DotTarget): Candidate | null {
  const q = project(view, mark.x, mark.y);
  const [a, b, c, d] = pictureDerivative(view, mark.x, mark.y);
  const reach = NEAR * target.pitch * Math.sqrt(Math.abs(a * d - b * c));
  let best: Candidate | null = null;
  let least = reach * reach;
  for (const candidate of candidates) {
    const distance = (candidate.x - q.x) ** 2 + (candidate.y - q.y) ** 2;
    if (distance < least && mayBe(candidate, mark)) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

function recognised(
  view: View, candidates: readonly Candidate[], marks: readonly Mark[], target: DotTarget, picture: Picture,
): { mark: Mark; sighting: Sighting }[] {
  return marksInside(view, marks, target, picture).flatMap((mark) => {
    const at = nearest(view, candidates, mark, target);
    return at ? [{ mark, sighting: { x: mark.x, y: mark.y, at: { x: at.x, y: at.y } } }] : [];
  });
}

function marksInside(view: View, marks: readonly Mark[], target: DotTarget, { width, height }: Picture): Mark[] {
  const middle = marks[indexOf(target.rings[0], target)];
  return marks.filter((mark) => {
    if (!isSeen(view, mark, middle)) return false;
    const q = project(view, mark.x, mark.y);
    // A dot that the picture's edge cuts, with its blurred rim, is measured up to 0.15 px off: whole ones only.
    const [a, b, c, d] = pictureDerivative(view, mark.x, mark.y);
    const across = 0.55 * target.diameter * Math.hypot(a, b) + 5;
    const down = 0.55 * target.diameter * Math.hypot(c, d) + 5;
    return q.x > across && q.y > down && q.x < width - 1 - across && q.y < height - 1 - down;
  });
}

function measured(
  picture: Picture, view: View, seen: readonly { mark: Mark; sighting: Sighting }[], marks: readonly Mark[], target: DotTarget,
): FoundTarget {
  const inside = marksInside(view, marks, target, picture).length;
  if (seen.length < Math.max(12, ENOUGH * inside)) return { ok: false, reason: `only ${seen.length} of ${inside} dots within the picture were recognised` };
  const sampler = samplerOf(picture);
  const map = { toPicture: (p: { x: number; y: number }) => toPicture(view, p), toPrint: (q: { x: number; y: number }) => toPrint(view, q) };
  const points = seen.flatMap(({ mark, sighting }) => {
    const refined = refineMark(sampler, mark, map, sighting.at);
    return refined.ok ? [{ x: mark.x, y: mark.y, u: refined.at.x, v: refined.at.y }] : [];
  });
  if (points.length < Math.max(12, 0.7 * seen.length)) return { ok: false, reason: `only ${points.length} of ${seen.length} dots could be measured: the picture is blurred or too dark` };
  return { ok: true, points };
}
