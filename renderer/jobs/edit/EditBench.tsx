import { useCallback, useMemo, useState } from "react";
import { useWords } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import { SheetCanvas } from "../canvas/SheetCanvas.tsx";
import type { Work } from "../worker/work.ts";
import { type Chosen, standing } from "./chosen.ts";
import { CodeForm } from "./CodeForm.tsx";
import { CutForm } from "./CutForm.tsx";
import { DatumForm } from "./DatumForm.tsx";
import { FindingList } from "./FindingList.tsx";
import { MarkForm } from "./MarkForm.tsx";
import { SheetForm } from "./SheetForm.tsx";
import { SideForm } from "./SideForm.tsx";
import { ToleranceForm } from "./ToleranceForm.tsx";
import { useCutLines } from "./useCutLines.ts";
import { useEditorScene } from "./useEditorScene.ts";
import type { Findings } from "./useFindings.ts";
import { useHandling } from "./useHandling.ts";
import type { JobDoc } from "./useJobDoc.ts";
import { ZoneForm } from "./ZoneForm.tsx";

/** The sheet, and beside it everything that a job file says of it. */
export function EditBench({ doc, work, findings }: { doc: JobDoc; work: Work; findings: Findings | null }) {
  const w = useWords().jobs.edit;
  const { job, edit, settle } = doc;
  const [wanted, choose] = useState<Chosen>(null);
  const chosen = useMemo(() => standing(wanted, job), [wanted, job]);
  const cutLines = useCutLines(work, job.cuts);
  const { scene, styleOf } = useEditorScene(job, cutLines, chosen);
  const hand = useHandling(job, doc, chosen, choose, cutLines, styleOf);
  const chooseMark = useCallback((index: number | null) => choose(index === null ? null : { kind: "mark", index }), []);
  const chooseCut = useCallback((index: number | null) => choose(index === null ? null : { kind: "cut", index }), []);
  const heldMark = chosen?.kind === "mark" ? job.marks[chosen.index].id : chosen?.kind === "code" ? w.code(String(chosen.index + 1)) : w.datum;

  return (
    <div className="bench">
      <SheetCanvas sheet={job.sheet} scene={scene} label={`${w.canvas}. ${w.canvasKeys}`} onPick={hand.pick} gripAt={hand.gripAt} onKey={hand.onKey}>
        <p className="canvas-hint" role="status">{hand.holding ? w.holding(heldMark) : `${w.canvasKeys}.`}</p>
      </SheetCanvas>
      <div className="panel" onBlur={settle}>
        <FindingList findings={findings} choose={choose} />
        <Section title={w.title}><SheetForm job={job} edit={edit} fixedId={doc.page.versions.length > 0} /></Section>
        <Section title={w.marks} open><MarkForm job={job} edit={edit} chosen={chosen?.kind === "mark" ? chosen.index : null} choose={chooseMark} /></Section>
        <Section title={w.cuts} open><CutForm job={job} edit={edit} chosen={chosen?.kind === "cut" ? chosen.index : null} choose={chooseCut} /></Section>
        <Section title={w.tolerance} open><ToleranceForm job={job} edit={edit} /></Section>
        <Section title={w.side} open><SideForm job={job} edit={edit} /></Section>
        <Section title={w.zones}><ZoneForm job={job} edit={edit} /></Section>
        <Section title={w.codes}><CodeForm job={job} edit={edit} /></Section>
        <Section title={w.datum}><DatumForm job={job} edit={edit} /></Section>
      </div>
    </div>
  );
}
