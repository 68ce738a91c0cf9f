import type { Measured } from "../../../core/check/record.ts";
import type { Library } from "../library/library.ts";
import { drawDeviations } from "./picture.ts";
import type { RunFacts } from "./runReport.ts";
import type { SheetFacts } from "./sheetReport.ts";

/** What the library holds of a run. @throws LibraryFault "not-found" */
export async function gatherRun(library: Library, runId: number): Promise<RunFacts> {
  const run = await library.runs.get(runId);
  const version = await library.jobs.version(run.jobVersionId);
  const records: Measured[] = [];
  const firstCut: Measured[] = [];
  for (let offset = 0; ; offset += 200) {
    const rows = await library.checks.page(runId, { offset, limit: 200 });
    for (const row of rows) {
      const { record } = await library.checks.outcome(row.id);
      // The operator's own sheet number counts where the code gave none, or was corrected.
      const named = { ...record, ...(row.sheet === null ? {} : { sheet: row.sheet }) };
      records.push(named);
      if (row.recut === 0) firstCut.push(named);
    }
    if (rows.length < 200) break;
  }
  const decisions = [...(await library.dispositions.current(runId)).values()];
  return { name: run.name, job: version.job, jobVersion: version.version, sheets: run.sheets, startedAt: run.startedAt, records, firstCut, decisions };
}

/** What the library holds of one check, with its picture where that is still there. @throws LibraryFault "not-found" */
export async function gatherSheet(library: Library, checkId: number): Promise<SheetFacts> {
  const row = await library.checks.get(checkId);
  const { record, overlay } = await library.checks.outcome(checkId);
  const version = await library.jobs.version(row.jobVersionId);
  const kept = await library.pictures.find(row.picture);
  const facts = { record: { ...record, ...(row.sheet === null ? {} : { sheet: row.sheet }) }, job: version.job, jobVersion: version.version, takenAt: row.takenAt };
  if (!kept || !overlay) return facts;
  const picture = await drawDeviations(kept.path, overlay).catch((error: Error) => error);
  if (!(picture instanceof Error)) return { ...facts, picture };
  return { ...facts, record: { ...facts.record, warnings: [...facts.record.warnings, `The picture is not shown: ${picture.message}`] } };
}
