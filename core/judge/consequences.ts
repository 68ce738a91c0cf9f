import type { StretchReport } from "../check/record.ts";
import type { PrintPoint } from "../geometry/frames.ts";
import { distanceToSegment, encloses } from "../geometry/polygon.ts";
import { flattenCut, type Subpath } from "../job/paths.ts";
import type { Job } from "../job/schema.ts";

/** A side of a piece, facing the print. */
export type Side = "left" | "right" | "top" | "bottom";

/** What the deviation along one side of a cut means for the printed piece; mm. */
export interface Consequence {
  readonly feature: string;
  /** `outline`: the piece lies inside the cut; `hole`: around it; `open`: a cut without an inside, both of whose sides are kept. */
  readonly role: "outline" | "hole" | "open";
  readonly side: Side;
  /** Farthest that the cut lies off the piece (+, into the bleed) and into the piece (as a positive figure). */
  readonly outwards: number;
  readonly inwards: number;
  /** Bleed left where the cut lies farthest off the piece; absent where the job states no bleed or the cut is open. */
  readonly bleedLeft?: number;
  /** Width of the white edge that shows there; 0 for none. */
  readonly whiteEdge?: number;
  /** Distance left between the cut and what the safe zone protects; absent where the job states none. */
  readonly safeLeft?: number;
  /** How far beyond the safe zone the cut lies: artwork or text may be cut into by as much; 0 for none. */
  readonly cutInto?: number;
  /** Where it is worst, print frame. */
  readonly at: PrintPoint;
  /** Expanded uncertainty of the worst deviation. */
  readonly U: number;
}

/**
 * Consequences of the deviations along the cut features, side by side of each feature, from the job's bleed and safe zone.
 * Whether a closed cut is an outline or a hole is told by how many other cuts enclose it. Creases have none.
 */
export function consequences(job: Pick<Job, "cuts" | "bleed" | "safe">, stretches: readonly StretchReport[]): Consequence[] {
  const parts = job.cuts.filter((c) => c.kind === "cut").flatMap((c) => flattenCut(c, 0.05).map((path) => ({ feature: c.id, path })));
  const closed = parts.filter((p) => p.path.closed);
  const roles = new Map(parts.map((p) => [p, roleOf(p.path, closed.map((c) => c.path))]));
  const groups = new Map<string, { role: Consequence["role"]; side: Side; stretches: { outwards: number; stretch: StretchReport }[] }>();
  for (const stretch of stretches) {
    const own = nearest(parts.filter((p) => p.feature === stretch.feature), stretch);
    const role = own && roles.get(own);
    if (!role) continue;
    const sign = role === "hole" ? -1 : 1;
    const side = sideOf(sign * stretch.nx, sign * stretch.ny);
    const key = `${parts.indexOf(own)} ${side}`;
    const group = groups.get(key) ?? { role, side, stretches: [] };
    group.stretches.push({ outwards: sign * stretch.value, stretch });
    groups.set(key, group);
  }
  return [...groups.values()].map((g) => told(job, g.role, g.side, g.stretches));
}

function told(job: Pick<Job, "bleed" | "safe">, role: Consequence["role"], side: Side, all: readonly { outwards: number; stretch: StretchReport }[]): Consequence {
  const outwards = Math.max(0, ...all.map((s) => s.outwards));
  const inwards = Math.max(0, ...all.map((s) => -s.outwards));
  const { stretch } = all.reduce((worst, s) => (Math.abs(s.outwards) > Math.abs(worst.outwards) ? s : worst));
  const kept = { feature: stretch.feature, role, side, outwards, inwards, at: { x: stretch.x, y: stretch.y }, U: stretch.U };
  // Both sides of an open cut belong to the piece: there is no bleed, and either direction comes nearer to artwork.
  const towardsArtwork = role === "open" ? Math.max(outwards, inwards) : inwards;
  return {
    ...kept,
    ...(job.bleed !== undefined && role !== "open" && { bleedLeft: Math.max(0, job.bleed - outwards), whiteEdge: Math.max(0, outwards - job.bleed) }),
    ...(job.safe !== undefined && { safeLeft: Math.max(0, job.safe - towardsArtwork), cutInto: Math.max(0, towardsArtwork - job.safe) }),
  };
}

function roleOf(path: Subpath, closed: readonly Subpath[]): Consequence["role"] {
  if (!path.closed) return "open";
  const around = closed.filter((other) => other !== path && encloses(other.points, path.points[0])).length;
  return around % 2 === 0 ? "outline" : "hole";
}

function nearest<T extends { readonly path: Subpath }>(parts: readonly T[], p: PrintPoint): T | undefined {
  if (parts.length < 2) return parts[0];
  return parts.map((part) => ({ part, d: distance(part.path, p) })).reduce((best, c) => (c.d < best.d ? c : best)).part;
}

function distance({ points, closed }: Subpath, p: PrintPoint): number {
  return points.slice(0, closed ? undefined : -1).reduce((least, a, i) => Math.min(least, distanceToSegment(p, a, points[(i + 1) % points.length])), Infinity);
}

function sideOf(nx: number, ny: number): Side {
  if (Math.abs(nx) >= Math.abs(ny)) return nx > 0 ? "right" : "left";
  return ny > 0 ? "top" : "bottom";
}
