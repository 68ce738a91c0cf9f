import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { GivenLength, LengthBox } from "../form/LengthBox.tsx";
import { TextBox } from "../form/TextBox.tsx";
import type { Edit } from "./useJobDoc.ts";

/** What the job is called, and the sheet itself. */
export function SheetForm({ job, edit, fixedId }: { job: DraftJob; edit: Edit; fixedId: boolean }) {
  const words = useWords();
  const w = words.jobs.edit;
  const { sheet } = job;
  const set = (name: keyof DraftJob["sheet"], value: number | string | undefined) => edit(`sheet ${name}`, (now) => ({ ...now, sheet: { ...now.sheet, [name]: value } }));
  return (
    <>
      <div className="fields">
        <TextBox label={w.name} value={job.name} onChange={(name) => edit("name", (now) => ({ ...now, name }))} />
        <TextBox label={w.id} value={job.id} fixed={fixedId} text={fixedId ? w.idFixed : words.jobs.import.idText} longest={64} onChange={(id) => id.trim() !== "" && edit("id", (now) => ({ ...now, id }))} />
      </div>
      <div className="fields two">
        <GivenLength label={w.width} value={sheet.width} onChange={(v) => set("width", v)} />
        <GivenLength label={w.height} value={sheet.height} onChange={(v) => set("height", v)} />
      </div>
      <div className="fields">
        <LengthBox label={w.thickness} text={w.thicknessText} step={0.1} optional value={sheet.thickness} onChange={(v) => set("thickness", v)} />
        <TextBox label={w.material} value={sheet.material ?? ""} onChange={(v) => set("material", v === "" ? undefined : v)} />
      </div>
      <Choice label={w.state} value={job.state} onChange={(state) => edit(null, (now) => ({ ...now, state }))} options={(["in-sheet", "stripped"] as const).map((s) => [s, w.states[s]] as const)} />
      <p className="note">{w.stateText[job.state]}</p>
    </>
  );
}
