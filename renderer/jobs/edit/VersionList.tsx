import { useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { whenText } from "../whenText.ts";
import type { JobDoc } from "./useJobDoc.ts";

/** All versions that were kept, and the way back to any of them. */
export function VersionList({ doc }: { doc: JobDoc }) {
  const { words, language } = useShop();
  const w = words.jobs.versions;
  const [said, setSaid] = useState("");
  const [fault, setFault] = useState<Error | null>(null);
  const { page, edit } = doc;
  const back = async (id: number, version: number) => {
    try {
      const job = await read(client.api.jobs[":id"].versions[":version"].$get({ param: { id: String(page.id), version: String(id) } }));
      edit(null, () => job);
      setSaid(w.opened(String(version)));
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <div className="page">
      <p className="note">{w.text}</p>
      {fault && <Fault error={fault} />}
      {said && <p className="notice" role="status"><span>{said}</span></p>}
      {page.draft && page.versions.length > 0 && <p>{w.draft}</p>}
      {page.versions.length === 0 && <p>{w.none}</p>}
      <ul className="job-list">
        {page.versions.map((v) => (
          <li key={v.id} className="job">
            <span className="run-name"><b>{w.version(String(v.version))}</b><small>{[v.name, w.madeAt(whenText(v.madeAt, language)), ...(v.runs > 0 ? [words.jobs.list.runs(v.runs)] : [])].join(" · ")}</small></span>
            <Button className="button" onPress={() => void back(v.id, v.version)}>{w.open(String(v.version))}</Button>
          </li>
        ))}
      </ul>
    </div>
  );
}
