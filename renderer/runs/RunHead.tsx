import { type FormEvent, useState } from "react";
import { Button, Disclosure, DisclosurePanel, Input, Label, Text, TextField } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { go } from "../frame/useHash.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { ReportMenu } from "../report/ReportMenu.tsx";
import { useWords } from "../settings/useSettings.tsx";
import type { Overview } from "./runData.ts";
import { useUndo } from "../frame/useUndo.tsx";

type Change = Parameters<(typeof client.api.runs)[":id"]["$patch"]>[0]["json"];

const VERDICTS = ["in", "unsure", "out"] as const;

/** Name, job and counts of a run, and what can be changed about it. */
export function RunHead({ overview: { run, job, checks, verdicts }, changed }: { overview: Overview; changed(): void }) {
  const words = useWords();
  const w = words.runs.head;
  const [gone, setGone] = useState(false);
  const { offerDeletion, attempt, notice } = useUndo(() => {
    setGone(false);
    changed();
  });
  const param = { id: String(run.id) };
  const change = (json: Change) => attempt(async () => {
    await read(client.api.runs[":id"].$patch({ param, json }));
    changed();
  });
  const remove = () => attempt(async () => {
    offerDeletion(w.deleted, await read(client.api.runs[":id"].$delete({ param })));
    setGone(true);
  });
  return (
    <header className="run-head">
      <a href="#runs" className="back" onClick={() => go("runs")}>← {words.places.runs}</a>
      {notice}
      <div className="page-head">
        <h1>{run.name}</h1>
        <span className="run-counts">
          {VERDICTS.map((verdict) => <span key={verdict} className="run-count"><VerdictShape standing={verdict} />{verdicts[verdict]}<span className="unseen"> {words.verdict[verdict].word}</span></span>)}
        </span>
      </div>
      <Disclosure className="run-edit">
        <div className="page-head">
          <p className="note">{[`${job.id}, ${job.name}`, words.runs.checks(String(checks)), ...(run.sheets === null ? [] : [words.runs.sheetsOf(String(run.sheets))]), ...(run.finishedAt ? [words.runs.finished] : [])].join(" · ")}</p>
          <span className="buttons">
            {!gone && <ReportMenu about={{ run: run.id }} />}
            {!gone && <Button slot="trigger" className="button">{w.edit}</Button>}
          </span>
        </div>
        <DisclosurePanel>
          <EditForm run={run} change={change} remove={remove} />
        </DisclosurePanel>
      </Disclosure>
    </header>
  );
}

function EditForm({ run, change, remove }: { run: Overview["run"]; change: (part: Change) => Promise<void>; remove: () => Promise<void> }) {
  const words = useWords();
  const w = words.runs.head;
  const save = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const sheets = String(form.get("sheets") ?? "").trim();
    void change({ name: String(form.get("name") ?? run.name), sheets: sheets === "" ? null : Number(sheets) });
  };
  return (
    <form className="inline-form" onSubmit={save}>
      <TextField className="field" name="name" defaultValue={run.name} isRequired><Label>{w.rename}</Label><Input maxLength={120} /></TextField>
      <TextField className="field narrow" name="sheets" defaultValue={run.sheets === null ? "" : String(run.sheets)} inputMode="numeric" pattern="[0-9]*">
        <Label>{w.stack}</Label><Input /><Text slot="description" className="note">{w.stackHelp}</Text>
      </TextField>
      <Button type="submit" className="main-button">{words.common.save}</Button>
      <Button className="button" onPress={() => change({ finished: run.finishedAt === null })}>{run.finishedAt === null ? w.finish : w.reopen}</Button>
      <Button className="button" onPress={remove}>{w.delete}</Button>
    </form>
  );
}
