import { type ReactNode, useState } from "react";
import { Button } from "react-aria-components";
import { Fault } from "../../frame/Fault.tsx";
import { Icon } from "../../frame/Icon.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { saveFile } from "../../frame/saveFile.ts";
import { layOnDesk } from "../takeToDesk.ts";
import type { Finding } from "../worker/protocol.ts";
import type { JobDoc } from "./useJobDoc.ts";

const TABS = ["edit", "design", "out", "versions"] as const;

/** The job's name, whether everything is kept, undo and redo, and what to do with the job. */
export function EditorBar({ doc, tab, lacks, back }: { doc: JobDoc; tab: string; lacks: (faults: readonly Finding[]) => void; back: ReactNode }) {
  const words = useWords();
  const w = words.jobs.edit;
  const [said, setSaid] = useState("");
  const [fault, setFault] = useState<Error | null>(null);
  const { job, page, saving, history } = doc;
  const attempt = (work: () => Promise<void>) => void work().then(() => setFault(null), setFault);

  const keep = () => attempt(async () => {
    const before = page.versions[0]?.version ?? 0;
    const answer = await doc.keep();
    lacks(answer.kept ? [] : answer.faults);
    if (!answer.kept) return setSaid("");
    const latest = answer.page.versions.find((v) => v.id === answer.versionId)?.version ?? before;
    setSaid(latest > before ? w.keptVersion(String(latest)) : w.sameVersion(String(latest)));
  });
  const use = () => attempt(async () => {
    const answer = await doc.keep();
    lacks(answer.kept ? [] : answer.faults);
    if (answer.kept) await layOnDesk(answer.page.content);
  });

  return (
    <>
      <header className="job-bar">
        <div className="job-name">
          {back}
          <h1>{job.name || job.id}</h1>
          <span role="status">{job.id} · {saving.kind === "kept" ? w.kept : saving.kind === "saving" ? w.saving : w.notKept}{said && ` · ${said}`}</span>
        </div>
        <div className="buttons">
          <Button className="square" aria-label={w.undo} isDisabled={history.past.length === 0} onPress={doc.undo}><Icon name="undo" /></Button>
          <Button className="square" aria-label={w.redo} isDisabled={history.future.length === 0} onPress={doc.redo}><Icon name="redo" /></Button>
          <Button className="button" onPress={() => saveFile(`${job.id}.job.json`, `${JSON.stringify(job, null, 2)}\n`, "application/json")}><Icon name="save" />{w.saveFile}</Button>
          <Button className="button" onPress={keep}>{w.keepVersion}</Button>
          <Button className="main-button" onPress={use}><Icon name="check" />{w.useForChecking}</Button>
        </div>
      </header>
      {saving.kind === "failed" && <Fault error={saving.error} />}
      {fault && <Fault error={fault} />}
      <nav className="tabs" aria-label={job.name || job.id}>
        {TABS.map((one) => <a key={one} className="tab" href={`#jobs/${page.id}${one === "edit" ? "" : `/${one}`}`} aria-current={one === tab ? "page" : undefined}>{w.tabs[one]}</a>)}
      </nav>
    </>
  );
}
