import { useCallback, useState } from "react";
import { Tab, TabList, TabPanel, Tabs } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { SetAsidePanel } from "./SetAsidePanel.tsx";
import { TrendPanel } from "./TrendPanel.tsx";

/** One run: how the cut moved over it, and what of its stack to set aside. */
export function RunPage({ id }: { id: string }) {
  const words = useWords();
  const [tab, setTab] = useState("trend");
  const [asked, again] = useHost(useCallback(() => read(client.api.runs[":id"].$get({ param: { id } })), [id]));
  if (asked.kind !== "ready") return <div className="page"><Waiting asked={asked} /></div>;
  const { run, job, checks } = asked.value;
  return (
    <div className="page wide">
      <a href="#runs" className="back">← {words.places.runs}</a>
      <h1>{run.name}</h1>
      <p className="note">{job.id} · {words.runs.checks(String(checks))}</p>
      <Tabs selectedKey={tab} onSelectionChange={(key) => setTab(String(key))}>
        <TabList className="tabs" aria-label={run.name}>
          <Tab id="trend" className="tab">{words.runs.trend}</Tab>
          <Tab id="aside" className="tab">{words.runs.setAside}</Tab>
        </TabList>
        <TabPanel id="trend" className="tab-panel"><TrendPanel id={id} /></TabPanel>
        <TabPanel id="aside" className="tab-panel"><SetAsidePanel id={id} sheets={run.sheets} changed={again} /></TabPanel>
      </Tabs>
    </div>
  );
}
