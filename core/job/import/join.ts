import KDBush from "kdbush";
import { endOf, reverseOutline, type Outline } from "./outline.ts";

/** Joined outlines, and how many repeated ones were dropped. */
export interface Joined {
  readonly outlines: readonly Outline[];
  readonly dropped: number;
}

/**
 * Drops lines drawn twice (either way round) and joins open ones whose ends meet within `tolerance` mm, as drawing programs leave them when they
 * explode a shape into segments. Where more than two ends meet nothing is joined: which belong together is not known.
 */
export function joinOutlines(all: readonly Outline[], tolerance = 0.02): Joined {
  const kept = withoutRepeats(all);
  const open = kept.filter((o) => !o.closed);
  return { outlines: [...kept.filter((o) => o.closed), ...chains(open, tolerance)], dropped: all.length - kept.length };
}

/** The outlines without those drawn before. Lines of one sum are compared in full; few are, which spares a drawing of many lines most of the texts. */
function withoutRepeats(all: readonly Outline[]): Outline[] {
  const bySum = new Map<number, Outline | Set<string>>();
  return all.filter((o) => {
    const sum = sumOf(o);
    const before = bySum.get(sum);
    if (before === undefined) {
      bySum.set(sum, o);
      return true;
    }
    const seen = before instanceof Set ? before : new Set([repeatKeys(before)[0]]);
    bySum.set(sum, seen);
    const keys = repeatKeys(o);
    if (keys.some((k) => seen.has(k))) return false;
    seen.add(keys[0]);
    return true;
  });
}

/** A number that is the same for the same line drawn either way, from its coordinates in whole micrometres. */
function sumOf(o: Outline): number {
  let x = Math.round(o.x * 1000);
  let y = Math.round(o.y * 1000);
  for (const e of o.edges) {
    for (let i = 0; i < e.length; i += 2) {
      x += Math.round(e[i] * 1000);
      y += Math.round(e[i + 1] * 1000);
    }
  }
  return x + 1_000_003 * y;
}

/** Text that is the same for the same line drawn either way, to a micrometre; a closed line has one for each way. */
function repeatKeys(o: Outline): string[] {
  const key = (p: Outline) => {
    let text = `${p.closed}|${Math.round(p.x * 1000)},${Math.round(p.y * 1000)}`;
    for (const e of p.edges) for (const v of e) text += `,${Math.round(v * 1000)}`;
    return text;
  };
  const [x, y] = endOf(o);
  const forward = o.x < x || (o.x === x && o.y < y);
  const r = (v: number) => Math.round(v * 1000);
  if (!o.closed && o.edges.length === 1 && o.edges[0].length === 2) return [forward ? `${r(o.x)},${r(o.y)},${r(x)},${r(y)}` : `${r(x)},${r(y)},${r(o.x)},${r(o.y)}`];
  if (o.closed || (x === o.x && y === o.y)) return [key(o), key(reverseOutline(o))];
  return [key(forward ? o : reverseOutline(o))];
}

function chains(open: readonly Outline[], tolerance: number): Outline[] {
  if (open.length === 0) return [];
  // End 2i is outline i's start, end 2i + 1 its end.
  const count = 2 * open.length;
  const [xs, ys] = [new Float64Array(count), new Float64Array(count)];
  const index = new KDBush(count);
  open.forEach((o, i) => {
    const [x, y] = endOf(o);
    [xs[2 * i], ys[2 * i], xs[2 * i + 1], ys[2 * i + 1]] = [o.x, o.y, x, y];
    index.add(o.x, o.y);
    index.add(x, y);
  });
  index.finish();
  const mate = new Int32Array(count).fill(-1);
  for (let i = 0; i < count; i++) {
    const near = index.within(xs[i], ys[i], tolerance);
    if (near.length === 2) mate[i] = near[0] === i ? near[1] : near[0];
  }
  // A meeting counts only where both ends see exactly each other.
  const partner = mate.map((m, i) => (m >= 0 && mate[m] === i ? m : -1));
  const used = new Array<boolean>(open.length).fill(false);
  const joined: Outline[] = [];
  const follow = (from: number) => {
    const edges: Array<readonly number[]> = [];
    let end = from;
    for (;;) {
      const i = end >> 1;
      used[i] = true;
      const o = end % 2 === 0 ? open[i] : reverseOutline(open[i]);
      // The gap between two outlines, within the tolerance, is taken up by the edge after it.
      for (const edge of o.edges) edges.push(edge);
      const next = partner[end ^ 1];
      if (next < 0 || used[next >> 1]) {
        const closed = next === from;
        if (closed) edges[edges.length - 1] = [...edges[edges.length - 1].slice(0, -2), xs[from], ys[from]];
        joined.push({ x: xs[from], y: ys[from], edges, closed });
        return;
      }
      end = next;
    }
  };
  for (let e = 0; e < count; e++) if (partner[e] < 0 && !used[e >> 1]) follow(e);
  for (let i = 0; i < open.length; i++) if (!used[i]) follow(2 * i);
  return joined;
}
