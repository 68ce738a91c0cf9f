import { useCallback, useState } from "react";
import type { InferResponseType } from "hono/client";
import { Button, Label, Radio, RadioGroup } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useUndo } from "../../frame/useUndo.tsx";
import { ToolsCard } from "./ToolsCard.tsx";

type Verified = InferResponseType<typeof client.api.records.verify.$post, 200>;

/** The shop's records as a whole: where they lie, backing up, looking them through, what was deleted lately. */
export function RecordsPage() {
  const words = useWords();
  const w = words.runs.records;
  const [library, again] = useHost(useCallback(() => read(client.api.records.library.$get()), []));
  const [deletions, againDeletions] = useHost(useCallback(() => read(client.api.records.deletions.$get()), []));
  const [said, setSaid] = useState<string | null>(null);
  const [verified, setVerified] = useState<Verified | null>(null);
  const { attempt, notice } = useUndo(again);
  if (library.kind !== "ready") return <div className="page"><a href="#runs" className="back">← {words.places.runs}</a><Waiting asked={library} /></div>;
  const choose = (pictures: string) => attempt(async () => {
    await read(client.api.records.pictures.$put({ json: { pictures: pictures === "copy" ? "copy" : "in-place" } }));
    again();
  });
  const backup = () => attempt(async () => setSaid(w.backedUp((await read(client.api.records.backup.$post())).path)));
  const verify = () => attempt(async () => setVerified(await read(client.api.records.verify.$post())));
  const undo = (id: number) => attempt(async () => {
    await read(client.api.records.deletions[":id"].undo.$post({ param: { id: String(id) } }));
    setSaid(w.undone);
    againDeletions();
  });
  return (
    <div className="page">
      <a href="#runs" className="back">← {words.places.runs}</a>
      <h1>{w.title}</h1>
      <p className="note">{w.where(library.value.folder)}</p>
      {notice}
      {said && <p className="notice" role="status">{said}</p>}
      <section className="card">
        <div className="buttons">
          <Button className="button" onPress={backup}>{w.backup}</Button>
          <Button className="button" onPress={verify}>{w.verify}</Button>
          <a className="button" href="/api/records/checks.csv" download="checks.csv">{w.csv}</a>
        </div>
        <p className="note">{w.backupHelp}</p>
        {verified && <Findings found={verified} />}
      </section>
      <section className="card">
        <RadioGroup className="choice" value={library.value.pictures} onChange={choose}>
          <Label>{w.pictures}</Label>
          <div className="choice-options"><Radio value="in-place" className="choice-option">{w.inPlace}</Radio><Radio value="copy" className="choice-option">{w.copy}</Radio></div>
        </RadioGroup>
        <p className="note">{w.picturesHelp}</p>
      </section>
      <ToolsCard changed={againDeletions} />
      <section className="card">
        <h2>{w.deletions}</h2>
        {deletions.kind === "ready" ? <Deletions made={deletions.value} undo={undo} /> : <Waiting asked={deletions} />}
      </section>
    </div>
  );
}

/** What was deleted lately, each with the way back. */
function Deletions({ made, undo }: { made: InferResponseType<typeof client.api.records.deletions.$get, 200>; undo: (id: number) => Promise<void> }) {
  const words = useWords();
  const w = words.runs.records;
  if (made.length === 0) return <p className="note">{w.none}</p>;
  return (
    <ul className="decisions">
      {made.map((d) => (
        <li key={d.id}><span>{w.deletion(w.subjects[d.subject], String(d.subjectId), new Date(d.madeAt).toLocaleString(words.locale))}</span><Button className="button" onPress={() => undo(d.id)}>{words.common.undo}</Button></li>
      ))}
    </ul>
  );
}

function Findings({ found: { problems, remarks, counts } }: { found: Verified }) {
  const words = useWords();
  const w = words.runs.records;
  return (
    <div role="status">
      {problems.length === 0 ? <p><b>{w.whole(String(counts.runs), String(counts.checks), String(counts.tray))}</b></p> : <div className="fault"><strong>{w.problems}</strong><ul>{problems.slice(0, 20).map((one) => <li key={one}>{one}</li>)}</ul></div>}
      {remarks.length > 0 && <div className="warnings"><strong>{w.remarks}</strong><ul>{remarks.slice(0, 20).map((one) => <li key={one}>{one}</li>)}</ul></div>}
    </div>
  );
}
