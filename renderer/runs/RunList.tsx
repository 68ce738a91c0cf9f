import { useCallback } from "react";
import { client, read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";

const VERDICTS = ["in", "unsure", "out"] as const;

/** All runs, the latest first, with what was found in each. */
export function RunList() {
  const words = useWords();
  const [asked] = useHost(useCallback(() => read(client.api.runs.$get()), []));
  return (
    <div className="page">
      <h1>{words.places.runs}</h1>
      {asked.kind !== "ready" && <Waiting asked={asked} />}
      {asked.kind === "ready" && asked.value.length === 0 && <p className="note">{words.runs.none}</p>}
      {asked.kind === "ready" && (
        <ul className="run-list">
          {asked.value.map((run) => (
            <li key={run.id}>
              <a className="run" href={`#runs/${run.id}`}>
                <span className="run-name"><b>{run.name}</b><small>{run.job} · {words.runs.checks(String(run.checks))}</small></span>
                {VERDICTS.map((verdict) => (
                  <span key={verdict} className="run-count">
                    <VerdictShape standing={verdict} />{run.verdicts[verdict]}<span className="unseen"> {words.verdict[verdict].word}</span>
                  </span>
                ))}
              </a>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
