import { type FormEvent, useState } from "react";
import type { InferResponseType } from "hono/client";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { FolderField } from "./FolderField.tsx";

export type TrayAnswer = InferResponseType<typeof client.api.tray.$get, 200>;

/** The folder that is watched: chosen here, with the jobs that may be in the stack; what came in lately. */
export function HotFolderCard({ hot, jobs, changed }: { hot: TrayAnswer["hot"]; jobs: TrayAnswer["jobs"]; changed(): void }) {
  const words = useWords();
  const say = useSentence();
  const w = words.runs.tray;
  const { attempt, notice } = useUndo(changed);
  const [counted, setCounted] = useState(false);
  const start = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const number = (name: string) => Number(form.get(name) ?? 1);
    void attempt(async () => {
      await read(client.api.tray.hot.$post({ json: { folder: String(form.get("folder") ?? ""), jobs: form.getAll("jobs").map(String).filter(Boolean), numbering: counted ? { first: number("first"), step: number("step") } : null } }));
      changed();
    });
  };
  const stop = () => attempt(async () => {
    await read(client.api.tray.hot.$delete());
    changed();
  });
  return (
    <section className="card">
      <h2>{w.hot}</h2>
      <p className="note">{w.hotHelp}</p>
      {hot.trouble && <div className="fault" role="alert"><strong>{say(hot.trouble.message)}</strong> {say(hot.trouble.hint)}</div>}
      {hot.watching ? (
        <>
          <p className="watching"><b>{w.watching(hot.watching.folder)}</b> · {hot.watching.jobs.length === 0 ? w.allJobs : hot.watching.jobs.join(", ")}</p>
          <p>{w.counts(String(hot.entered), String(hot.tray), String(hot.known))}{hot.waiting > 0 && `; ${w.waiting(String(hot.waiting))}`}</p>
          {hot.latest.length > 0 && <><h3>{w.latest}</h3><ul className="latest">{hot.latest.map((one, i) => <li key={`${one.file} ${i}`}><code>{one.file.split(/[\\/]/).at(-1)}</code>: {w.taken[one.kind]} {one.text && <small>{one.text}</small>}</li>)}</ul></>}
          <Button className="button" onPress={stop}>{w.stop}</Button>
        </>
      ) : jobs.length === 0 ? <p className="note">{w.noJobs}</p> : (
        <form className="inline-form" onSubmit={start}>
          <FolderField name="folder" />
          <label className="field"><b>{w.jobs}</b>
            <select name="jobs"><option value="">{w.allJobs}</option>{jobs.map((job) => <option key={job.job} value={job.job}>{job.job}, {job.name}</option>)}</select>
          </label>
          <label className="field"><b>{w.numbering}</b>
            <select value={counted ? "count" : "none"} onChange={(event) => setCounted(event.target.value === "count")}><option value="none">{w.none}</option><option value="count">{w.count}</option></select>
          </label>
          {counted && <TextField className="field narrow" name="first" defaultValue="1" inputMode="numeric"><Label>{w.first}</Label><Input /></TextField>}
          {counted && <TextField className="field narrow" name="step" defaultValue="1" inputMode="numeric"><Label>{w.step}</Label><Input /></TextField>}
          <Button type="submit" className="main-button">{w.start}</Button>
        </form>
      )}
      {notice}
    </section>
  );
}
