import type { PrintPoint } from "../../geometry/frames.ts";
import { chunkShare, cutShare } from "../../cuts/evidence/cutShare.ts";
import { arePlainLines, standsOut, standsOutPlainly } from "../../cuts/evidence/presence.ts";
import { haveTwinLips } from "../../cuts/lips/twinLips.ts";
import { slitLight } from "../../cuts/evidence/slitLight.ts";
import type { Strips } from "../../cuts/strips/strips.ts";
import type { SlitsAs, TracedPath } from "../../cuts/trace.ts";
import type { Job } from "../../job/schema.ts";
import { tellsOfAll } from "./cutSightings.ts";
import { estimateOf } from "../uncertainty/estimate.ts";
import type { FittedCuts } from "./fitCuts.ts";
import { doubtAt } from "../uncertainty/leftOut.ts";
import { lipResponse, meanPlace } from "../uncertainty/lipResponse.ts";
import { once } from "../once.ts";
import type { Placed } from "../layout/place.ts";
import type { Refusal } from "../record.ts";
import { refuse } from "../refusals.ts";
import { scatterOf } from "./scatter.ts";
import type { Solution } from "../fit/solution.ts";

/** Cuts that may be measured, or why what was found is none. */
export type CutsSeen = { readonly ok: true; readonly solution: Solution; readonly paths: readonly TracedPath[]; readonly coverage: number } | { readonly ok: false; readonly refusal: Refusal };

/** Share of the cuts' length that must be found, where the marks alone are beyond doubt and where they are not. */
const LEAST_COVERAGE = 0.4;
const CONFIRMING_COVERAGE = 0.5;
/** The same where slits stand out plainly: print hides most of a slit that is about as dark as it is. */
const COVERAGE_PLAIN = 0.25;
/** The same where the marks found do not tell, to within the search, where most of the cuts are: a search finds something in half of the places, wherever it looks. */
const COVERAGE_UNFORESEEN = 0.75;
/** Feed, print and table do not stretch or lean a cut by more, mm/m (common practice, no source). */
const MOST_STRETCH = 5;
/** Where all of a side drawn aside by a lip moves the middle of the cuts so many times as far, too few sides are seen to say where they lie: of a cut seen all round it is about one. */
const MOST_DILUTED = 5;
/** Nor where the fit leaves the middle of all cuts, seen or not, open by so much, mm (standard uncertainty; common practice, no source). */
const MOST_OPEN = 0.7;
/** A cut found belongs to the common map within this, mm; scattered finds are chance. */
const AGREES = 0.35;

/**
 * Where less of the cuts' length is found, it must stand out plainly: other cuts and creases, and artwork, have lines along half of a job's paths when those lie elsewhere. And what hides the rest
 * may be print that is darker than the slits are; what then shows more of them by so much shows it rightly.
 */
const MOSTLY = 0.6;
const SHOWS_MORE = 0.1;

/** Slits in the sheet gape here and there, and windows fall out; edges along more than this share of the cuts' length are the print's own, which runs beside all of them alike and may end where they belong. */
const MOSTLY_EDGES = 0.5;

/** Where the light falls into the slits along more than this share of the cuts' length, what is left of them does not say where the cut lies across the light (common practice, no source). */
const MOST_LIT = 0.15;

/**
 * The cuts sought by light, and where few are seen so, by the print's colour that they interrupt: a slit whose floor and lips are together as light as the print beside it shows by that alone.
 *
 * @param inHues the strips seen by that; null where nothing has a colour.
 * @param seek seeks them in strips, for slits that look so.
 */
export function seekCuts<Seen extends CutsSeen>(strips: Strips, inHues: () => Strips | null, seek: (strips: Strips, as: SlitsAs) => Seen): Seen {
  const seekThere = (some: Strips): Seen => seekIn(some, (as) => seek(some, as));
  const seen = seekThere(strips);
  if (seen.ok && seen.coverage > MOSTLY) return seen;
  const hues = inHues();
  const byHue = hues && seekThere(hues);
  return byHue?.ok && (!seen.ok || byHue.coverage > seen.coverage + SHOWS_MORE) ? byHue : seen;
}

/**
 * The cuts sought as lines and edges; where the bright ones are lips with the slit between them, as dark ones alone. Where many are not seen so, again as what is bright on print darker than the slits themselves, and where there are none, as lines alone: the edges of a bleed run beside all of
 * them and are plainer than faint slits. At last as dark lines alone: a bright keyline may be printed beside all of them. Not at once: beside most slits a bright line is a lip, and a slit that gapes is an edge.
 */
function seekIn<Seen extends CutsSeen>(strips: Strips, seek: (as: SlitsAs) => Seen): Seen {
  const light = once(() => slitLight(strips));
  const seen = seekAs({}, light, seek);
  return seen.ok && haveTwinLips(seen.paths, strips.grid) ? seekAs({ bright: false }, light, seek) : seen;
}

/** `light`: of the slits themselves, asked where few are seen as dark lines. */
function seekAs<Seen extends CutsSeen>(as: SlitsAs, light: () => number, seek: (as: SlitsAs) => Seen): Seen {
  const usual = seek(as);
  if (usual.ok && usual.coverage > MOSTLY) return usual;
  const own = light();
  const bright = own === 0 ? usual : seek({ ...as, own });
  if (bright.ok && (!usual.ok || bright.coverage > usual.coverage + SHOWS_MORE)) return bright;
  if (usual.ok) return usual;
  const lines = seek({ ...as, own, edges: false });
  if (lines.ok) return lines;
  const dark = as.bright === false ? usual : seek({ bright: false, edges: false });
  return dark.ok ? dark : usual;
}

/**
 * Whether what was found along the cut paths are the cuts: enough of them, plainer than the artwork beside them, in places where one cut could be, and no more stretched than a cut can be.
 *
 * @param sought how far from their places the cuts were looked for, mm.
 * @param foreseen share of the cuts' length whose places the marks tell to within that; asked only where few were found.
 * @param onSheet whether the sheet's own corners lie where the marks have them; asked only where too few cuts were found and the marks are few or do not tell where they are.
 */
export function cutsSeen({ solution, paths, presence, scattered }: FittedCuts, job: Job, placed: Placed, sought: number, foreseen: () => number, onSheet: () => boolean): CutsSeen {
  const unseen = (refusal: Refusal): CutsSeen => ({ ok: false, refusal });
  const coverage = solution ? agreement(solution, paths) : 0;
  const unforeseen = coverage < COVERAGE_UNFORESEEN && foreseen() < LEAST_COVERAGE;
  const plain = presence !== null && standsOutPlainly(presence);
  const least = unforeseen ? COVERAGE_UNFORESEEN : plain ? COVERAGE_PLAIN : placed.sure ? LEAST_COVERAGE : CONFIRMING_COVERAGE;
  if (!solution && chunkShare(paths, (c) => c.found) > LEAST_COVERAGE) {
    return unseen(refuse("cuts-not-found", "The cuts that are seen all run one way, and nothing tells where along them they lie.", "Cut a small witness hole, or add a cut that runs across the others, and have it in the job."));
  }
  if (chunkShare(paths, (c) => c.lit === true) > MOST_LIT) {
    return unseen(refuse("cuts-not-found", "On some sides the light falls into the slits, whose lit walls are brighter than the dark print beside them: where the cut lies there is not known well enough.", "Take the picture in softer light that comes from all sides."));
  }
  if (!solution || coverage < least) return unseen(tooFewFound(job, placed, coverage, unforeseen, onSheet));
  if (cutShare(paths, (path) => path.unexpected === true) > MOSTLY_EDGES) {
    return unseen(refuse("cuts-not-found", "What was found along most of the cut paths are edges and no slits: the print's own, or the pieces have been taken out of the sheet and the job says that they have not."));
  }
  if (presence && !(coverage > MOSTLY ? standsOut(presence) : plain || arePlainLines(presence))) {
    return unseen(refuse("cuts-not-found", `Along the cut paths nothing stands out from the artwork beside them: the cuts are too faint, or lie further than ${Number(sought.toFixed(1))} mm from their places.`));
  }
  if (scattered && !(presence && arePlainLines(presence))) {
    return unseen(refuse("cuts-not-found", `What was found along the cut paths lies ${scatterOf(solution).toFixed(2)} mm (standard deviation) from where any one cut could be: most of it is something else.`));
  }
  const stretched = stretchOf(solution);
  if (stretched > MOST_STRETCH) {
    return unseen(refuse("cuts-not-found", `What was found along the cut paths would stretch or lean the cut by ${stretched.toFixed(1)} mm per metre: it is something else than the cut.`));
  }
  if (lipResponse(solution).middle > MOST_DILUTED || doubtAt(solution, middleOf(paths)) > MOST_OPEN) {
    return unseen(refuse("cuts-not-found", "What is seen of the cuts lies on some of their sides only: it does not fix where the cut lies."));
  }
  return { ok: true, solution, paths, coverage };
}

/** So few marks, or less than half of the job's, may fit a view by chance: another job's sheet has marks as well. */
const FEW_MARKS = 5;

/** Where too few cuts are found, the fault may be the marks': too few of them, or all too close together; not where all are there, and the sheet lies where they have it. */
function tooFewFound(job: Job, { seen, sure }: Placed, coverage: number, unforeseen: boolean, onSheet: () => boolean): Refusal {
  const whole = (unforeseen || !sure) && seen.length === job.marks.length && onSheet();
  if (unforeseen && !whole) return refuse("marks-not-found", `The ${seen.length} marks found of the job's ${job.marks.length} do not tell how the sheet is seen where the cuts are.`);
  if (!sure && !whole && seen.length < Math.max(FEW_MARKS, job.marks.length / 2)) return refuse("marks-not-found", `${seen.length < job.marks.length ? `Only ${seen.length}` : "All"} of the job's ${job.marks.length} marks were found, and no cuts where they would have to be: it may be another job's sheet.`);
  return refuse("cuts-not-found", coverage < 0.02 ? "No cut was found along the job's cut paths." : `Along the job's cut paths only ${Math.round(100 * coverage)} % of the length looks cut.`);
}

/** The middle of the cuts, of what is not seen of them too. */
function middleOf(paths: readonly TracedPath[]): PrintPoint {
  return meanPlace(paths.filter((path) => path.kind === "cut").flatMap((path) => path.chunks.map((c) => c.chunk)));
}

/** The largest of scale and skew, mm/m. */
function stretchOf(solution: Solution): number {
  const { skew, scaleX, scaleY } = estimateOf(solution);
  return Math.max(Math.abs(skew), Math.abs(scaleX), Math.abs(scaleY));
}

/** Share of the cuts' length that was found and lies where the common map says, or where a piece that moved has it, against all of it. */
function agreement(solution: Solution, paths: readonly TracedPath[]): number {
  const perMm = solution.data.cutScale;
  let k = 0;
  return chunkShare(paths, (chunk, path) => {
    if (!tellsOfAll(chunk, path)) return chunk.found && path.moved === true;
    const off = Math.abs(solution.cutResiduals[k] * solution.data.cuts[k].sigma * perMm);
    k++;
    return off < AGREES;
  });
}
