import { type Dispatch, type KeyboardEvent, type SetStateAction, useMemo, useState } from "react";
import type { Meaning } from "../../../core/job/import/drawing.ts";
import { markSize } from "../../../core/job/markSize.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import { ownerAt } from "../canvas/drawLines.ts";
import { SheetCanvas } from "../canvas/SheetCanvas.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { LengthBox } from "../form/LengthBox.tsx";
import type { DrawingView } from "../worker/protocol.ts";
import { type Choices, draftAsk, firstChoices, placeOf, toggledMark, withMeaning } from "./choices.ts";
import { GroupList } from "./GroupList.tsx";
import { MakeJob } from "./MakeJob.tsx";
import { MarkChoices } from "./MarkChoices.tsx";
import { MEANINGS } from "./meanings.ts";
import { Presets } from "./Presets.tsx";
import { SheetChoices } from "./SheetChoices.tsx";
import { useDrawingScene } from "./useDrawingScene.ts";
import { useDraft } from "./useDraft.ts";
import type { Import } from "./useImport.ts";

/** What the drawing's lines mean, said by the reader and shown at once; in the end, the job. */
export function MeaningPage({ name, view, state }: { name: string; view: DrawingView; state: Import }) {
  const { words } = useShop();
  const w = words.jobs.import;
  const [choices, setChoices] = useChoices(view, name);
  const [chosen, setChosen] = useState<number | null>(null);
  const change = (part: Partial<Choices>) => setChoices((now) => ({ ...now, ...part }));
  const drafting = useDraft(state.work, useMemo(() => draftAsk(choices), [choices]));
  const { scene, styleOf } = useDrawingScene(view, choices, chosen);
  const mean = (group: number, meaning: Meaning) => setChoices((now) => withMeaning(now, view, group, meaning));
  const meanAll = (meanings: readonly Meaning[]) => setChoices((now) =>
    meanings.reduce((all, meaning, group) => (all.meanings[group] === meaning ? all : withMeaning(all, view, group, meaning)), now));

  const pick = (at: { x: number; y: number }, reach: number) => {
    const mark = view.candidates.findIndex((c) => Math.hypot(c.mark.x - at.x, c.mark.y - at.y) <= Math.max(reach, markSize(c.mark) / 2));
    if (mark >= 0) setChoices((now) => toggledMark(now, mark));
    const owner = view.lines && ownerAt(view.lines, at, reach, styleOf);
    setChosen(mark >= 0 ? view.candidates[mark].group : owner);
  };
  const key = (event: KeyboardEvent) => {
    const step = { n: 1, p: -1 }[event.key.toLowerCase()];
    const meaning = MEANINGS[Number(event.key) - 1];
    const count = view.groups.length;
    if (step && !event.ctrlKey && !event.metaKey) setChosen((now) => (now === null ? (step > 0 ? 0 : count - 1) : (now + step + count) % count));
    else if (meaning && chosen !== null) mean(chosen, meaning);
    else return false;
    return true;
  };

  return (
    <div className="bench">
      <SheetCanvas sheet={choices.sheet} scene={scene} label={`${w.canvas}. ${w.canvasKeys}`} onPick={pick} onKey={key}>
        <p className="canvas-hint">{w.canvasKeys}.</p>
      </SheetCanvas>
      <div className="panel">
        <Section title={w.groups} open>
          <p className="note">{w.groupsText}</p>
          <Presets view={view} meanings={choices.meanings} work={state.work} apply={meanAll} />
          <GroupList view={view} meanings={choices.meanings} chosen={chosen} choose={setChosen} mean={mean} />
        </Section>
        <Section title={w.marks} open><MarkChoices view={view} choices={choices} change={change} /></Section>
        <Section title={w.sheet} open={view.page === null || view.pages > 1}><SheetChoices view={view} choices={choices} change={change} state={state} /></Section>
        <Section title={w.job} open><JobFields choices={choices} change={change} /></Section>
        <MakeJob drafting={drafting} notes={view.notes} work={state.work} />
      </div>
    </div>
  );
}

/** The reader's choices for a drawing, at first those that are proposed. Another box of the page is another sheet. */
function useChoices(view: DrawingView, name: string): [Choices, Dispatch<SetStateAction<Choices>>] {
  const piece = useShop().words.jobs.import.pieceDefault;
  const [choices, setChoices] = useState<Choices>(() => firstChoices(view, name, piece));
  const [placed, setPlaced] = useState(view);
  if (placed !== view) {
    setPlaced(view);
    setChoices((now) => ({ ...now, ...placeOf(view) }));
  }
  return [choices, setChoices];
}

function JobFields({ choices, change }: { choices: Choices; change: (part: Partial<Choices>) => void }) {
  const { words } = useShop();
  const w = words.jobs.import;
  return (
    <div className="fields">
      <TextBox label={w.id} value={choices.id} onChange={(id) => change({ id })} text={w.idText} longest={64} fault={choices.id.trim() === "" ? words.jobs.edit.idEmpty : null} />
      <TextBox label={w.name} value={choices.name} onChange={(value) => change({ name: value })} />
      <TextBox label={w.piece} value={choices.piece} onChange={(piece) => change({ piece })} text={w.pieceText} longest={30} />
      <LengthBox label={w.join} value={choices.join} onChange={(join) => join !== undefined && change({ join })} step={0.01} />
    </div>
  );
}
