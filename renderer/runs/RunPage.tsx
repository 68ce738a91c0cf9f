import { lazy, Suspense, useCallback } from "react";
import { Tab, TabList, TabPanel, Tabs } from "react-aria-components";
import { client, read } from "../frame/client.ts";
import { go } from "../frame/useHash.ts";
import { useHost } from "../frame/useHost.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { AsidePanel } from "./aside/AsidePanel.tsx";
import { EventsPanel } from "./events/EventsPanel.tsx";
import { NowPanel } from "./now/NowPanel.tsx";
import { RunHead } from "./RunHead.tsx";
import { SamplingPanel } from "./sampling/SamplingPanel.tsx";
import { SheetsPanel } from "./SheetsPanel.tsx";

// The chart library is loaded when somebody looks at a chart.
const ChartsPanel = lazy(() => import("./charts/ChartsPanel.tsx"));

const TABS = ["now", "charts", "aside", "events", "sampling", "sheets"] as const;

/** One run: what to do now, its charts, what of its stack to set aside, what happened, how often to check. The tab is part of the address. */
export function RunPage({ id, tab, check }: { id: string; tab?: string; check?: string }) {
  const words = useWords();
  const [asked, again] = useHost(useCallback(() => read(client.api.runs[":id"].$get({ param: { id } })), [id]));
  if (asked.kind !== "ready") return <div className="page"><a href="#runs" className="back">← {words.places.runs}</a><Waiting asked={asked} /></div>;
  const overview = asked.value;
  const shown = TABS.find((one) => one === tab) ?? "now";
  return (
    <div className="page wide">
      <RunHead overview={overview} changed={again} />
      <Tabs selectedKey={shown} onSelectionChange={(key) => go("runs", id, String(key))}>
        <TabList className="tabs" aria-label={overview.run.name}>{TABS.map((one) => <Tab key={one} id={one} className="tab">{words.runs.tabs[one]}</Tab>)}</TabList>
        <TabPanel id="now" className="tab-panel"><NowPanel overview={overview} changed={again} /></TabPanel>
        <TabPanel id="charts" className="tab-panel"><Suspense fallback={<p className="quiet" role="status">{words.common.loading}</p>}><ChartsPanel overview={overview} check={check} changed={again} /></Suspense></TabPanel>
        <TabPanel id="aside" className="tab-panel"><AsidePanel overview={overview} changed={again} /></TabPanel>
        <TabPanel id="events" className="tab-panel"><EventsPanel overview={overview} changed={again} /></TabPanel>
        <TabPanel id="sampling" className="tab-panel"><SamplingPanel id={id} /></TabPanel>
        <TabPanel id="sheets" className="tab-panel"><SheetsPanel overview={overview} /></TabPanel>
      </Tabs>
    </div>
  );
}
