import { inWaves } from "../view/nuisance.ts";
import { isPoorlyFound } from "./poorlyFound.ts";
import type { FeatureReport } from "../record.ts";
import type { ReportInput } from "./report.ts";
import type { Unseen } from "./unseen.ts";

/** So many features are named where a warning speaks of more. */
const NAMED = 3;

/** What a measured record warns of. Where there is the same to say of several features, one sentence says it and names the worst few, worst first. */
export function warningsOf(input: ReportInput): string[] {
  const { job, solution, placed, pxPerMm } = input;
  return [
    ...ofWhatWasFound(input),
    ...unreadNumber(input),
    ...solution.rejected.map((i) => `Mark "${job.marks[placed.seen[i].mark].id}" does not fit the others and was left out: check whether it is covered, smeared or misprinted.`),
    ...(solution.doubtful ? ["Marks and cuts cannot tell the lens of this picture well: the uncertainty is larger for it. A camera profile or more marks would help."] : []),
    ...(inWaves(solution.data.nuisances ?? []) ? ["The marks do not fit a board that lies flat or is bent evenly: it seems to stand up in waves. The uncertainty is larger for it; press the board down, or take the picture from further above."] : []),
    ...(pxPerMm < 1.5 ? [`The picture shows the sheet at only ${pxPerMm.toFixed(1)} pixels per mm.`] : []),
  ];
}

/** What of the cuts and creases was not found, or lies off from all others. */
function ofWhatWasFound({ deviations: { features, offFeatures, unseen } }: ReportInput): string[] {
  const missing = (kind: FeatureReport["kind"]): FeatureReport[] => features.filter((f) => f.kind === kind && f.coverage === 0);
  const parts = (kind: FeatureReport["kind"]): FeatureReport[] => features.filter((f) => f.kind === kind && f.coverage > 0 && isPoorlyFound(f)).sort((a, b) => a.coverage - b.coverage);
  const longest = (pieces: readonly Unseen[]): Unseen[] => features.filter((f) => !isPoorlyFound(f)).flatMap((f) => pieces.filter((u) => u.feature === f.id).sort((a, b) => b.length - a.length).slice(0, 1)).sort((a, b) => b.length - a.length);
  const [astray, gaps] = [longest(unseen.filter((u) => u.mayHaveLeft)), longest(unseen.filter((u) => !u.mayHaveLeft))];
  const place = ({ x, y }: { readonly x: number; readonly y: number }): string => `x ${Math.round(x)}, y ${Math.round(y)} mm`;
  const percent = (f: FeatureReport): string => `${Math.round(100 * f.coverage)} %`;
  return [
    ...one(missing("cut"), (f) => `"${f.id}" was not found: without it the sheet is unsure at best. Look at it.`,
      (all) => `Not found were ${listed(all, (f) => `"${f.id}"`)}: without them the sheet is unsure at best. Look at them.`),
    ...one(parts("cut"), (f) => `Only ${percent(f)} of "${f.id}" was found: without the rest the sheet is unsure at best. Look at it.`,
      (all) => `Only parts were found of ${listed(all, (f) => `"${f.id}" (${percent(f)})`)}: without the rest the sheet is unsure at best. Look at them.`),
    ...one(missing("crease"), (f) => `"${f.id}" was not found and is not judged: look at it on the sheet.`,
      (all) => `Not found and not judged were ${listed(all, (f) => `"${f.id}"`)}: look at them on the sheet.`),
    ...one(parts("crease"), (f) => `Only ${percent(f)} of "${f.id}" was found: the rest is not judged.`, (all) => `Only parts were found of ${listed(all, (f) => `"${f.id}" (${percent(f)})`)}: the rest is not judged.`),
    ...one(astray, (u) => `Of "${u.feature}" ${Math.round(u.length)} mm in one piece were not seen, near ${place(u)}, and the knife may have left its path there: the sheet is unsure at best. Look at it.`,
      () => `Parts were not seen, where the knife may have left its path, of ${listed(astray, (u) => `"${u.feature}" (${Math.round(u.length)} mm at ${place(u)})`)}: the sheet is unsure at best. Look at them.`),
    ...one(gaps, (u) => `Of "${u.feature}" ${Math.round(u.length)} mm in one piece were not seen, near ${place(u)}: the worst place may lie there. Look at it.`,
      () => `Long parts were not seen of ${listed(gaps, (u) => `"${u.feature}" (${Math.round(u.length)} mm at ${place(u)})`)}: the worst place may lie there. Look at them.`),
    ...one(offFeatures, (id) => `"${id}" lies off from what the other cuts agree on: it may have moved while it was cut.`,
      () => `Off from what the other cuts agree on lie ${listed(offFeatures, (id) => `"${id}"`)}: they may have moved while they were cut.`),
  ];
}

function one<T>(all: readonly T[], single: (item: T) => string, several: (all: readonly T[]) => string): string[] {
  return all.length === 0 ? [] : [all.length === 1 ? single(all[0]) : several(all)];
}

/** The first few and how many more there are. */
function listed<T>(all: readonly T[], say: (item: T) => string): string {
  const named = all.slice(0, NAMED).map(say).join(", ");
  return all.length > NAMED ? `${named} and ${all.length - NAMED} more` : named;
}

/** A sheet without its number stands after all others in its run, and the set-aside list cannot say where in the stack it lies. */
function unreadNumber({ job, sheet }: ReportInput): string[] {
  if (sheet !== undefined || !job.codes.some((code) => code.payload.includes("{sheet}"))) return [];
  return ["The sheet's number was not read from its code: show the code larger and sharper, or give the sheet its number in the run."];
}
