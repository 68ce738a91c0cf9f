import { type FormEvent, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import type { TrayAnswer } from "./HotFolderCard.tsx";

type Entry = TrayAnswer["entries"][number];

/** What could not be measured, each with its reason and its picture: again, with a job and a number said by the operator, or aside. */
export function TrayList({ entries, jobs, changed }: { entries: readonly Entry[]; jobs: TrayAnswer["jobs"]; changed(): void }) {
  const words = useWords();
  const w = words.runs.tray;
  const { offer, attempt, notice } = useUndo(changed);
  const dismiss = (entry: Entry) => attempt(async () => {
    const param = { id: String(entry.id) };
    await read(client.api.tray[":id"].dismiss.$post({ param }));
    offer(w.dismissed, () => read(client.api.tray[":id"].back.$post({ param })));
    changed();
  });
  return (
    <section className="card">
      <h2>{w.tray}</h2>
      <p className="note">{entries.length === 0 ? w.empty : w.help}</p>
      {notice}
      <ul className="tray">{entries.map((entry) => <TrayItem key={entry.id} entry={entry} jobs={jobs} dismiss={() => dismiss(entry)} changed={changed} />)}</ul>
    </section>
  );
}

function TrayItem({ entry, jobs, dismiss, changed }: { entry: Entry; jobs: TrayAnswer["jobs"]; dismiss(): void; changed(): void }) {
  const words = useWords();
  const say = useSentence();
  const w = words.runs.tray;
  const [state, setState] = useState<"idle" | "busy" | "still">("idle");
  const { attempt, notice } = useUndo(changed);
  const reason = entry.reason.code in words.refusals ? words.refusals[entry.reason.code as keyof typeof words.refusals] : entry.reason;
  const again = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const [job, sheet] = ["job", "sheet"].map((name) => String(form.get(name) ?? "").trim());
    setState("busy");
    void attempt(async () => {
      const answer = await read(client.api.tray[":id"].again.$post({ param: { id: String(entry.id) }, json: { ...(job && { job }), ...(sheet && { sheet }) } }));
      if (answer.entered) return changed();
      setState("still");
      changed();
    }).finally(() => setState((now) => (now === "busy" ? "idle" : now)));
  };
  return (
    <li className="tray-item">
      <img className="tray-picture" src={`/api/pictures/${entry.pictureId}/reduced/320`} alt="" loading="lazy" />
      <div>
        <p><b>{entry.image}</b> <small>{entry.takenAt.replace("T", " ").slice(0, 19)}{entry.job && ` · ${entry.job}`}{entry.sheet && ` · ${words.check.sheet(entry.sheet)}`}</small></p>
        <p className="tray-reason">{say(reason.message)} <span className="note">{say(reason.hint)}</span></p>
        <form className="inline-form" onSubmit={again}>
          <label className="field"><b>{w.job}</b><select name="job" defaultValue={entry.job ?? ""}><option value="">{w.byCode}</option>{jobs.map((job) => <option key={job.job} value={job.job}>{job.job}</option>)}</select></label>
          <TextField className="field narrow" name="sheet" defaultValue={entry.sheet ?? ""}><Label>{w.sheet}</Label><Input maxLength={40} /></TextField>
          <Button type="submit" className="button" isDisabled={state === "busy"}>{state === "busy" ? words.common.loading : w.again}</Button>
          <Button className="button" onPress={dismiss}>{w.dismiss}</Button>
        </form>
        {state === "still" && <p className="warnings" role="status">{w.still}</p>}
        {notice}
      </div>
    </li>
  );
}
