import { useCallback, useEffect, useState } from "react";
import type { JobPage } from "../../../electron/host/library/drafts.ts";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import type { Finding } from "../worker/protocol.ts";
import { useWork } from "../worker/work.ts";
import { DesignBench } from "../design/DesignBench.tsx";
import { EditBench } from "./EditBench.tsx";
import { EditorBar } from "./EditorBar.tsx";
import { OutPage } from "./OutPage.tsx";
import { useFindings } from "./useFindings.ts";
import { useJobDoc } from "./useJobDoc.ts";
import { VersionList } from "./VersionList.tsx";

/** One job: its editor, its versions. */
export function JobPlace({ id, tab }: { id: string; tab: string }) {
  const [asked] = useHost(useCallback(() => read(client.api.jobs[":id"].$get({ param: { id } })), [id]));
  return asked.kind === "ready" ? <Editor first={asked.value} tab={tab} /> : <div className="page"><Back /><Waiting asked={asked} /></div>;
}

function Back() {
  const w = useWords().jobs.edit;
  return <a className="back" href="#jobs">← {w.allJobs}</a>;
}

const OTHERS: ReadonlySet<string> = new Set(["versions", "out", "design"]);

function Editor({ first, tab }: { first: JobPage; tab: string }) {
  const words = useWords();
  const sentence = useSentence();
  const doc = useJobDoc(first);
  const work = useWork();
  const findings = useFindings(work, doc.job);
  const [lacks, setLacks] = useState<readonly Finding[]>([]);
  useUndoKeys(doc.undo, doc.redo);
  return (
    <div className="editor">
      <EditorBar doc={doc} tab={tab} lacks={setLacks} back={<Back />} />
      {lacks.length > 0 && (
        <div className="fault" role="alert"><strong>{words.jobs.edit.lacks}</strong><ul>{lacks.map((f) => <li key={f.path + f.message}>{sentence(f.message)}</li>)}</ul></div>
      )}
      {tab === "versions" && <VersionList doc={doc} />}
      {tab === "out" && <OutPage doc={doc} />}
      {tab === "design" && <DesignBench doc={doc} />}
      {!OTHERS.has(tab) && <EditBench doc={doc} work={work} findings={findings} />}
    </div>
  );
}

/** Ctrl+Z and its like, except where a text field undoes its own typing. */
function useUndoKeys(undo: () => void, redo: () => void): void {
  useEffect(() => {
    const key = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      if (event.target instanceof HTMLInputElement) return;
      const name = event.key.toLowerCase();
      if (name !== "z" && name !== "y") return;
      event.preventDefault();
      if (name === "y" || event.shiftKey) redo();
      else undo();
    };
    document.addEventListener("keydown", key);
    return () => document.removeEventListener("keydown", key);
  }, [undo, redo]);
}
