import { useState } from "react";
import { Button, Checkbox } from "react-aria-components";
import type { Setup } from "../../../core/design/setup.ts";
import type { Cut, Job, Mark } from "../../../core/job/schema.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { NumberBox } from "../form/NumberBox.tsx";
import { Stopped, type Work } from "../worker/work.ts";
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
  const [busy, setBusy] = useState(false);
  const [refusal, setRefusal] = useState("");
  const [fault, setFault] = useState<Error | null>(null);

  const ask = async (run: () => Promise<Offer | { readonly reason: string; readonly hint: string }>) => {
    setBusy(true);
    setRefusal("");
    setFault(null);
    try {
      const answer = await run();
      if ("reason" in answer) setRefusal(`${sentence(answer.reason)} ${sentence(answer.hint)}`);
      show("reason" in answer ? null : answer);
    } catch (error) {
      if (!(error instanceof Stopped)) setFault(error as Error);
    } finally {
      setBusy(false);
    }
  };
  const avoid = artwork?.boxes;
  const marks = () => ask(async () => {
    if (!setup) return { reason: w.working, hint: "" };
    const answer = await work.ask("propose", { job, setup, wish: { count, keep, onPieces, avoid } });
    if (!answer.ok) return answer;
    const after = figures.length(answer.prediction.worst.U);
    const n = String(answer.marks.length);
    const said = answer.before === null ? w.proposedNew(n, after, figures.lengthUnit) : w.proposed(n, figures.length(answer.before), after, figures.lengthUnit);
    return { kind: "marks" as const, marks: answer.marks, cuts: [], said, notes: answer.notes };
  });
  const witnesses = () => ask(async () => {
    const answer = await work.ask("witnesses", { job, wish: { count: pairs, avoid } });
    return answer.ok ? { kind: "witnesses" as const, marks: answer.marks, cuts: answer.cuts, said: w.witnessed(String(answer.cuts.length)), notes: [] } : answer;
  });
  const whole = (set: (n: number) => void) => (v: number | undefined) => v !== undefined && Number.isInteger(v) && set(v);
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
      <div className="fields"><NumberBox label={w.count} value={count} decimals={0} onChange={whole(setCount)} /></div>
      <Checkbox className="check-option" isSelected={keep} onChange={setKeep}><span className="check-box" aria-hidden="true" />{w.keep}</Checkbox>
      <Checkbox className="check-option" isSelected={onPieces} onChange={setOnPieces}><span className="check-box" aria-hidden="true" />{w.onPieces}</Checkbox>
      <div className="buttons">
        <Button className="button" isDisabled={busy || !setup} onPress={() => void marks()}>{w.doPropose}</Button>
        {busy && <><span role="status" className="note">{w.proposing}</span><Button className="button" onPress={() => work.stop()}>{words.common.stop}</Button></>}
      </div>
      {refusal && <p className="fault" role="alert">{refusal}</p>}
      {fault && <Fault error={fault} />}
      {offer?.kind === "marks" && answer}
      <h3>{w.witnesses}</h3>
      <p className="note">{w.witnessText}</p>
      <div className="fields"><NumberBox label={w.count} value={pairs} decimals={0} onChange={whole(setPairs)} /></div>
      <div className="buttons"><Button className="button" isDisabled={busy} onPress={() => void witnesses()}>{w.doPropose}</Button></div>
      {offer?.kind === "witnesses" && answer}
    </>
  );
}
