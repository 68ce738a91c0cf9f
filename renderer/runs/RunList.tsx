import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { Fault } from "../frame/Fault.tsx";
import { Icon } from "../frame/Icon.tsx";
import { go } from "../frame/useHash.ts";
import { useHost } from "../frame/useHost.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";

const VERDICTS = ["in", "unsure", "out"] as const;

/** All runs, the latest first, with what was found in each; the way to the tray and to the demo. */
export function RunList() {
  const words = useWords();
  const [asked] = useHost(useCallback(() => read(client.api.runs.$get()), []));
  const [tray] = useHost(useCallback(() => read(client.api.tray.$get()), []));
  return (
    <div className="page">
      <div className="page-head">
        <h1>{words.places.runs}</h1>
        <span className="buttons"><a className="button" href="#runs/records"><Icon name="save" />{words.runs.records.link}</a>
        <a className="button" href="#runs/tray"><Icon name="folder" />{words.runs.trayLink(tray.kind === "ready" ? String(tray.value.entries.length) : "0")}</a></span>
      </div>
      {asked.kind !== "ready" && <Waiting asked={asked} />}
      {asked.kind === "ready" && asked.value.length === 0 && <p className="note">{words.runs.none}</p>}
      {asked.kind === "ready" && (
        <ul className="run-list">
          {asked.value.map((run) => (
            <li key={run.id}>
              <a className="run" href={`#runs/${run.id}`}>
                <span className="run-name">
                  <b>{run.name}</b>
                  <small>{[run.job, words.runs.checks(String(run.checks)), ...(run.sheets === null ? [] : [words.runs.sheetsOf(String(run.sheets))]), ...(run.finishedAt ? [words.runs.finished] : [])].join(" · ")}</small>
                </span>
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
      {asked.kind === "ready" && <Demo />}
    </div>
  );
}

/** Enters the samples' night run, which takes a few seconds, and opens it. */
function Demo() {
  const words = useWords();
  const [state, setState] = useState<"idle" | "busy" | Error>("idle");
  const load = async () => {
    setState("busy");
    try {
      const { runs } = await read(client.api.records.demo.$post());
      go("runs", String(Math.min(...runs.map((run) => run.id))));
    } catch (error) {
      setState(error as Error);
    }
  };
  return (
    <div className="buttons">
      <Button className="button" isDisabled={state === "busy"} onPress={load}>{words.runs.demo}</Button>
      {state === "busy" && <span role="status" className="note">{words.runs.demoLoading}</span>}
      {state instanceof Error && <Fault error={state} />}
    </div>
  );
}
