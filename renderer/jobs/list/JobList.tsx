import { type ComponentProps, useCallback, useDeferredValue, useState } from "react";
import { Button, DropZone, FileTrigger, Input, isFileDropItem, SearchField } from "react-aria-components";
import type { JobEntry } from "../../../electron/host/library/drafts.ts";
import type { JobFileAnswer } from "../../../electron/host/app/routes/jobRoutes.ts";
import { client, read } from "../../frame/client.ts";
import { Icon } from "../../frame/Icon.tsx";
import { go } from "../../frame/useHash.ts";
import { useHost } from "../../frame/useHost.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { Waiting } from "../../frame/Waiting.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { handDrawing } from "../import/handed.ts";
import { emptyJob } from "./emptyJob.ts";
import { JobRow } from "./JobRow.tsx";

/** Lists longer than this can be searched. */
const SEARCHED = 8;
/** Jobs shown at first, and with each asking for more. */
const AT_A_TIME = 50;

/** The shop's jobs, and the ways to have a new one. A drawing or a job file may be dropped anywhere on it. */
export function JobList() {
  const words = useWords();
  const w = words.jobs.list;
  const sentence = useSentence();
  const [asked, again] = useHost(useCallback(() => read(client.api.jobs.$get()), []));
  const [fileFaults, setFileFaults] = useState<JobFileAnswer["faults"]>([]);
  const { offer, attempt, notice } = useUndo(again);
  const removed = useCallback((name: string, deletion: number) => {
    offer(w.removed(name), () => read(client.api.jobs.undo[":deletion"].$post({ param: { deletion: String(deletion) } })));
    again();
  }, [offer, again, w]);
  const openFile = async (file: File) => {
    const answer = await read<JobFileAnswer>(fetch("/api/jobs/file", { method: "POST", body: await file.text() }));
    setFileFaults(answer.taken ? [] : answer.faults);
    if (answer.taken) go("jobs", String(answer.id));
  };
  const take = async (file: File | undefined) => {
    if (!file) return;
    if (file.name.endsWith(".json")) await openFile(file);
    else handDrawing(file);
  };
  return (
    <DropZone className="drop" aria-label={w.dropZone} getDropOperation={() => "copy"}
      onDrop={(event) => attempt(async () => take(await event.items.find(isFileDropItem)?.getFile()))}>
      {({ isDropTarget }) => (
        <div className="page jobs">
          <h1>{w.title}</h1>
          <p className="note">{w.intro}</p>
          <div className="buttons">
            <Button className="main-button" onPress={() => go("jobs", "import")}><Icon name="plus" />{w.import}</Button>
            <FileTrigger acceptedFileTypes={[".json", "application/json"]} onSelect={(files) => attempt(() => take(files?.[0]))}>
              <Button className="button"><Icon name="open" />{w.openFile}</Button>
            </FileTrigger>
            <Button className="button" onPress={() => attempt(async () => go("jobs", String((await read(client.api.jobs.$post({ json: emptyJob(w.blankName) }))).id)))}>{w.blank}</Button>
          </div>
          {fileFaults.length > 0 && (
            <div className="fault" role="alert"><strong>{w.fileFault}</strong><ul>{fileFaults.map((f) => <li key={f.path + f.message}>{sentence(f.message)}</li>)}</ul></div>
          )}
          {notice}
          {asked.kind === "ready" ? <Jobs jobs={asked.value} attempt={attempt} changed={again} removed={removed} /> : <Waiting asked={asked} />}
          {isDropTarget && <div className="drop-veil">{w.dropHere}</div>}
        </div>
      )}
    </DropZone>
  );
}

interface JobsProps extends Omit<ComponentProps<typeof JobRow>, "job"> {
  readonly jobs: readonly JobEntry[];
}

/** The jobs, newest first, a part at a time; a long list can be searched. */
function Jobs({ jobs, ...row }: JobsProps) {
  const w = useWords().jobs.list;
  const [wanted, setWanted] = useState("");
  const [most, setMost] = useState(AT_A_TIME);
  // Letters appear as they are typed; the list follows.
  const text = useDeferredValue(wanted).trim().toLowerCase();
  const found = jobs.filter((j) => text === "" || j.name.toLowerCase().includes(text) || j.job.toLowerCase().includes(text));
  const shown = found.slice(0, most);
  if (jobs.length === 0) return <p className="jobs-none">{w.none}</p>;
  return (
    <>
      {jobs.length > SEARCHED && (
        <SearchField className="field" aria-label={w.search} value={wanted} onChange={setWanted}><Input placeholder={w.search} /></SearchField>
      )}
      {shown.length === 0 && <p className="note">{w.noneFound}</p>}
      <ul className="job-list">
        {shown.map((job) => <JobRow key={job.id} job={job} {...row} />)}
      </ul>
      {found.length > shown.length && <Button className="button" onPress={() => setMost(most + AT_A_TIME)}>{w.more(String(shown.length), String(found.length))}</Button>}
    </>
  );
}
