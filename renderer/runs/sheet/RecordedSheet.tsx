import { type FormEvent, useCallback, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { go } from "../../frame/useHash.ts";
import { useHost } from "../../frame/useHost.ts";
import { VerdictShape } from "../../frame/VerdictShape.tsx";
import { Waiting } from "../../frame/Waiting.tsx";
import { PictureView } from "../../picture/PictureView.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import { SheetPanel } from "../../sheet/SheetPanel.tsx";
import { VerdictBand } from "../../sheet/VerdictBand.tsx";
import { useUndo } from "../../frame/useUndo.tsx";

/** A recorded check as the Check screen shows it: verdict, picture, figures; its sheet's history, its neighbours, and the way back to the run. */
export default function RecordedSheet({ run, check: id }: { run: string; check: string }) {
  const { words } = useShop();
  const w = words.runs.recorded;
  const [asked, again] = useHost(useCallback(() => read(client.api.runs[":id"].checks[":check"].$get({ param: { id: run, check: id } })), [run, id]));
  const [gone, setGone] = useState(false);
  const { offerDeletion, attempt, notice } = useUndo(() => {
    setGone(false);
    again();
  });
  const back = `#runs/${run}/charts/${id}`;
  if (asked.kind !== "ready") return <div className="page"><a href={back} className="back">← {w.back}</a>{notice}<Waiting asked={asked} /></div>;
  const { check, job, outcome, pictureId, previous, next, runName } = asked.value;
  const step = (to: number | null) => to !== null && go("check", "run", run, String(to));
  const remove = () => attempt(async () => {
    offerDeletion(w.deleted, await read(client.api.runs[":id"].checks[":check"].$delete({ param: { id: run, check: id } })));
    setGone(true);
  });
  const sheet = { key: String(check.id), name: check.image, state: "done" as const, outcome };
  return (
    <div className="check">
      <div className="page-head">
        <a href={back} className="back">← {w.back}: {runName}</a>
        <b>{check.sheet === null ? w.noNumber : words.check.sheet(check.sheet)}</b>
        <span className="buttons">
          <Button className="button" isDisabled={previous === null} onPress={() => step(previous)}>← {w.previous}</Button>
          <Button className="button" isDisabled={next === null} onPress={() => step(next)}>{w.next} →</Button>
        </span>
      </div>
      {notice}
      {!gone && (
        <>
          <VerdictBand sheet={sheet} />
          <div className="check-body">
            {pictureId ? <PictureView key={pictureId} id={pictureId} name={check.image} job={job} outcome={outcome} /> : <p className="warnings">{w.gone}</p>}
            <div className="panel">
              <SheetPanel job={job} record={outcome.record} />
              <Section title={w.history} open><History answer={asked.value} run={run} /></Section>
              <Section title={w.renumber}><Renumber run={run} id={id} sheet={check.sheet} changed={again} /><Button className="button" onPress={remove}>{w.delete}</Button></Section>
            </div>
          </div>
        </>
      )}
    </div>
  );
}

/** All checks of the sheet and all decisions about it, in the order in which they happened. */
function History({ answer: { checks, decisions, check }, run }: { answer: { checks: readonly { id: number; verdict: "in" | "out" | "unsure"; addedAt: string; recut: number; worst: number }[]; decisions: readonly { id: number; decision: keyof ReturnType<typeof useShop>["words"]["runs"]["aside"]["decisions"]; who: string; why: string; madeAt: string }[]; check: { id: number } }; run: string }) {
  const { words, figures } = useShop();
  const w = words.runs;
  const when = (at: string) => new Date(at).toLocaleString(words.locale);
  const lines = [
    ...checks.map((c) => ({
      at: c.addedAt, key: `c${c.id}`,
      line: <><span className="row-verdict"><VerdictShape standing={c.verdict} /></span> {c.id === check.id ? <b>{words.verdict[c.verdict].word}</b> : <a href={`#check/run/${run}/${c.id}`}>{words.verdict[c.verdict].word}</a>} {figures.length(Math.abs(c.worst))} {figures.lengthUnit}{c.recut > 0 && ` (${w.sheets.again})`} <small>{w.recorded.checkedAt(when(c.addedAt))}</small></>,
    })),
    ...decisions.map((d) => ({ at: d.madeAt, key: `d${d.id}`, line: <><b>{w.aside.decisions[d.decision]}</b>: {d.why} <small>({d.who}, {when(d.madeAt)})</small></> })),
  ].sort((a, b) => (a.at < b.at ? -1 : 1));
  return <ol className="history">{lines.map(({ key, line }) => <li key={key}>{line}</li>)}</ol>;
}

function Renumber({ run, id, sheet, changed }: { run: string; id: string; sheet: string | null; changed(): void }) {
  const { words } = useShop();
  const { attempt, notice } = useUndo(changed);
  const save = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const text = String(new FormData(event.currentTarget).get("sheet") ?? "").trim();
    void attempt(async () => {
      await read(client.api.runs[":id"].checks[":check"].$patch({ param: { id: run, check: id }, json: { sheet: text === "" ? null : text } }));
      changed();
    });
  };
  return (
    <form key={sheet} className="inline-form" onSubmit={save}>
      <TextField className="field narrow" name="sheet" defaultValue={sheet ?? ""} aria-label={words.runs.recorded.renumber}><Label className="unseen">{words.runs.recorded.renumber}</Label><Input maxLength={40} /></TextField>
      <Button type="submit" className="button">{words.common.save}</Button>
      {notice}
    </form>
  );
}
