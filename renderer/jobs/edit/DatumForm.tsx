import { datumOf } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { GivenLength } from "../form/LengthBox.tsx";
import type { Edit } from "./useJobDoc.ts";

/** The point that offset, turn, stretch and squareness are about. */
export function DatumForm({ job, edit }: { job: DraftJob; edit: Edit }) {
  const w = useWords().jobs.edit;
  const { datum } = job;
  return (
    <>
      <p className="note">{w.datumText}</p>
      <Choice quiet label={w.datum} value={datum ? "own" : "centre"} options={[["centre", w.datumCentre], ["own", w.datumOwn]] as const}
        onChange={(v) => edit(null, (now) => ({ ...now, datum: v === "own" ? datumOf(now) : undefined }))} />
      {datum && (
        <div className="fields two">
          <GivenLength label={w.x} range="any" value={datum.x} onChange={(x) => edit("datum x", (now) => ({ ...now, datum: { ...datumOf(now), x } }))} />
          <GivenLength label={w.y} range="any" value={datum.y} onChange={(y) => edit("datum y", (now) => ({ ...now, datum: { ...datumOf(now), y } }))} />
        </div>
      )}
    </>
  );
}
