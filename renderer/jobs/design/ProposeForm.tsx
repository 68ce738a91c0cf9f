import { useState } from "react";
import { Button, Checkbox } from "react-aria-components";
import type { Setup } from "../../../core/design/setup.ts";
import type { Cut, Job, Mark } from "../../../core/job/schema.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { CountBox } from "../form/CountBox.tsx";
import { AskingState } from "../worker/AskingState.tsx";
import { useAsking } from "../worker/useAsking.ts";
import type { Work } from "../worker/work.ts";
import { type Artwork, ArtworkChoice } from "./ArtworkChoice.tsx";

/** What is proposed, to be shown on the sheet and taken or not. */
export interface Offer {
  readonly kind: "marks" | "witnesses";
  /** Marks as they would be (`marks`), or that would be added (`witnesses`). */
  readonly marks: readonly Mark[];
  readonly cuts: readonly Cut[];
  readonly said: string;
  readonly notes: readonly string[];
}

interface Props {
  readonly job: Job;
  readonly setup: Setup | null;
  readonly work: Work;
  readonly artwork: Artwork | null;
  readonly setArtwork: (artwork: Artwork | null) => void;
  readonly offer: Offer | null;
  readonly show: (offer: Offer | null) => void;
  readonly take: (offer: Offer) => void;
}

/** Has marks, or witnesses, proposed. */
export function ProposeForm({ job, setup, work, artwork, setArtwork, offer, show, take }: Props) {
  const { words, figures } = useShop();
  const w = words.jobs.design;
  const sentence = useSentence();
  const [count, setCount] = useState(8);
  const [pairs, setPairs] = useState(4);
  const [keep, setKeep] = useState(false);
  const [onPieces, setOnPieces] = useState(false);
  const asking = useAsking();
  const avoid = artwork?.boxes;
  const marks = () => asking.ask<Offer>(async () => {
    if (!setup) return { reason: w.working, hint: "" };
    const answer = await work.ask("propose", { job, setup, wish: { count, keep, onPieces, avoid } });
    if (!answer.ok) return answer;
    const after = figures.length(answer.prediction.worst.U);
    const n = String(answer.marks.length);
    const said = answer.before === null ? w.proposedNew(n, after, figures.lengthUnit) : w.proposed(n, figures.length(answer.before), after, figures.lengthUnit);
    return { kind: "marks", marks: answer.marks, cuts: [], said, notes: answer.notes };
  }, show);
  const witnesses = () => asking.ask<Offer>(async () => {
    const answer = await work.ask("witnesses", { job, wish: { count: pairs, avoid } });
    return answer.ok ? { kind: "witnesses", marks: answer.marks, cuts: answer.cuts, said: w.witnessed(String(answer.cuts.length)), notes: [] } : answer;
  }, show);
  const answer = offer && (
    <div className="offer" role="status">
      <p>{offer.said}</p>
      {offer.notes.map((note) => <p key={note} className="note">{sentence(note)}</p>)}
      <div className="buttons">
        <Button className="main-button" onPress={() => take(offer)}>{w.take}</Button>
        <Button className="button" onPress={() => show(null)}>{w.drop}</Button>
      </div>
    </div>
  );

  return (
    <>
      <p className="note">{w.proposeText}</p>
      <ArtworkChoice sheet={job.sheet} work={work} artwork={artwork} choose={setArtwork} />
      <div className="fields"><CountBox label={w.count} value={count} onChange={setCount} /></div>
      <Checkbox className="check-option" isSelected={keep} onChange={setKeep}><span className="check-box" aria-hidden="true" />{w.keep}</Checkbox>
      <Checkbox className="check-option" isSelected={onPieces} onChange={setOnPieces}><span className="check-box" aria-hidden="true" />{w.onPieces}</Checkbox>
      <div className="buttons"><Button className="button" isDisabled={asking.busy || !setup} onPress={() => void marks()}>{w.doPropose}</Button></div>
      <AskingState asking={asking} work={work} at={w.proposing} />
      {offer?.kind === "marks" && answer}
      <h3>{w.witnesses}</h3>
      <p className="note">{w.witnessText}</p>
      <div className="fields"><CountBox label={w.count} value={pairs} onChange={setPairs} /></div>
      <div className="buttons"><Button className="button" isDisabled={asking.busy} onPress={() => void witnesses()}>{w.doPropose}</Button></div>
      {offer?.kind === "witnesses" && answer}
    </>
  );
}
