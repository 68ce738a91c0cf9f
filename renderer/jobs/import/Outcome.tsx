import { Fault } from "../../frame/Fault.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import type { Drafting } from "./useDraft.ts";

/** What the choices make: how many of what, which pieces are alike, and what was left out or assumed. */
export function Outcome({ drafting, notes }: { drafting: Drafting; notes: readonly string[] }) {
  const w = useWords().jobs.import;
  const sentence = useSentence();
  if (drafting.kind === "working") return <p className="note" role="status">{w.making}</p>;
  if (drafting.kind === "failed") return <Fault error={drafting.error} />;
  if (drafting.kind === "none") return <p className="note" role="status">{w.nothingCut}</p>;
  const { cuts, creases, marks, pieces } = drafting.draft;
  const alike = pieces.length === 1 && pieces[0] > 1 ? w.copies(pieces[0]) : pieces.length > 1 && pieces[0] > 1 ? w.copiesMixed(pieces.slice(0, 6).join(" + ") + (pieces.length > 6 ? " + …" : "")) : "";
  const said = [...new Set([...drafting.draft.notes, ...notes])];
  return (
    <>
      <p role="status" className="import-sum"><b>{w.makes}</b> {w.summary(cuts, creases, marks)} {alike}</p>
      {said.length > 0 && <ul className="warnings import-notes">{said.map((note) => <li key={note}>{sentence(note)}</li>)}</ul>}
    </>
  );
}
