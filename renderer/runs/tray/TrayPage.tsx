import { useCallback, useEffect } from "react";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { HotFolderCard } from "./HotFolderCard.tsx";
import { TrayList } from "./TrayList.tsx";

/** How often a watched folder is asked after, ms. */
const LOOK = 2000;

/** The hot folder, and what could not be measured. */
export function TrayPage() {
  const words = useWords();
  const [asked, again] = useHost(useCallback(() => read(client.api.tray.$get()), []));
  const watching = asked.kind === "ready" && asked.value.hot.watching !== null;
  useEffect(() => {
    if (!watching) return;
    const timer = setInterval(again, LOOK);
    return () => clearInterval(timer);
  }, [watching, again]);
  return (
    <div className="page wide">
      <a href="#runs" className="back">← {words.places.runs}</a>
      <h1>{words.runs.tray.title}</h1>
      {asked.kind !== "ready" ? <Waiting asked={asked} /> : (
        <>
          <HotFolderCard hot={asked.value.hot} jobs={asked.value.jobs} changed={again} />
          <TrayList entries={asked.value.entries} jobs={asked.value.jobs} changed={again} />
        </>
      )}
    </div>
  );
}
