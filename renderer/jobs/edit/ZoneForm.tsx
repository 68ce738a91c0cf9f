import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { LengthBox } from "../form/LengthBox.tsx";
import type { Edit } from "./useJobDoc.ts";

/** Bleed and safe zone, with a cross-section that shows which is which. */
export function ZoneForm({ job, edit }: { job: DraftJob; edit: Edit }) {
  const w = useWords().jobs.edit;
  return (
    <>
      <ZonePicture />
      <div className="fields two">
        <LengthBox label={w.bleed} text={w.bleedText} range="nonnegative" optional value={job.bleed} onChange={(bleed) => edit("bleed", (now) => ({ ...now, bleed }))} />
        <LengthBox label={w.safe} text={w.safeText} range="nonnegative" optional value={job.safe} onChange={(safe) => edit("safe", (now) => ({ ...now, safe }))} />
      </div>
    </>
  );
}

/** The print from the middle of a piece (left) over its cut to where the bleed ends (right). */
function ZonePicture() {
  const w = useWords().jobs.edit;
  return (
    <svg className="zone-picture" viewBox="0 0 320 110" role="img" aria-label={w.zonesPicture}>
      <rect className="zone-board" x="4" y="46" width="312" height="30" />
      <rect className="zone-print" x="4" y="40" width="254" height="8" />
      <line className="zone-cut" x1="200" y1="18" x2="200" y2="84" />
      <path className="zone-arrow" d="M142 92H198M142 88v8M198 88v8M202 92H258M258 88v8M202 88v8" />
      <text x="60" y="34">{w.zonesShown.print}</text>
      <text x="200" y="12">{w.zonesShown.cut}</text>
      <text x="160" y="107">{w.zonesShown.safe}</text>
      <text x="236" y="107">{w.zonesShown.bleed}</text>
    </svg>
  );
}
