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
  const seen = new Set<string>();
  const kept: Outline[] = [];
  for (const o of all) {
    const keys = repeatKeys(o);
    if (keys.some((k) => seen.has(k))) continue;
    seen.add(keys[0]);
    kept.push(o);
  }
  const open = kept.filter((o) => !o.closed);
  return { outlines: [...kept.filter((o) => o.closed), ...chains(open, tolerance)], dropped: all.length - kept.length };
}

/** Text that is the same for the same line drawn either way, to a micrometre; a closed line has one for each way. */
function repeatKeys(o: Outline): string[] {
  const key = (p: Outline) => {
    let text = `${p.closed}|${Math.round(p.x * 1000)},${Math.round(p.y * 1000)}`;
    for (const e of p.edges) for (const v of e) text += `,${Math.round(v * 1000)}`;
    return text;
  };
  const [x, y] = endOf(o);
  if (o.closed || (x === o.x && y === o.y)) return [key(o), key(reverseOutline(o))];
  return [key(o.x < x || (o.x === x && o.y < y) ? o : reverseOutline(o))];
}

function chains(open: readonly Outline[], tolerance: number): Outline[] {
  if (open.length === 0) return [];
  // End 2i is outline i's start, end 2i + 1 its end.
  const ends = open.flatMap((o): Array<readonly [number, number]> => [[o.x, o.y], endOf(o)]);
  const index = new KDBush(ends.length);
  for (const [x, y] of ends) index.add(x, y);
  index.finish();
  const mate = ends.map(([x, y], i) => {
    const near = index.within(x, y, tolerance);
    return near.length === 2 ? (near[0] === i ? near[1] : near[0]) : -1;
  });
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
        if (closed) edges[edges.length - 1] = [...edges[edges.length - 1].slice(0, -2), ...ends[from]];
        joined.push({ x: ends[from][0], y: ends[from][1], edges, closed });
        return;
      }
      end = next;
    }
  };
  for (let e = 0; e < ends.length; e++) if (partner[e] < 0 && !used[e >> 1]) follow(e);
  for (let i = 0; i < open.length; i++) if (!used[i]) follow(2 * i);
  return joined;
}
