import { useCallback } from "react";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import type { Overview } from "../runData.ts";
import { AdviceCard } from "./AdviceCard.tsx";
import { Ahead } from "./Ahead.tsx";
import { AxesForm } from "./AxesForm.tsx";
import { OddChecks } from "./OddChecks.tsx";

/** What to do now: advice with its reasons, what is coming, which sheet to check next. */
export function NowPanel({ overview, changed }: { overview: Overview; changed(): void }) {
  const { words } = useShop();
  const id = String(overview.run.id);
  const [asked] = useHost(useCallback(() => read(client.api.runs[":id"].advice.$get({ param: { id } })), [id]));
  const [aside] = useHost(useCallback(() => read(client.api.runs[":id"].setaside.$get({ param: { id } })), [id]));
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  return (
    <div className="now">
      <AdviceCard answer={asked.value} overview={overview} />
      <div className="now-side">
        <Ahead warnings={asked.value.warnings} aside={aside} runId={id} />
        <section className="card"><h2>{words.runs.now.odd}</h2><OddChecks odd={asked.value.odd} runId={id} /></section>
        <AxesForm overview={overview} changed={changed} />
      </div>
    </div>
  );
}
