import { lazy, Suspense } from "react";
import { CheckPlace } from "./check/CheckPlace.tsx";
import { Frame } from "./frame/Frame.tsx";
import { useWhere } from "./frame/useHash.ts";
import { useWords } from "./settings/useSettings.tsx";

const RunsPlace = lazy(() => import("./runs/RunsPlace.tsx"));
const SettingsPlace = lazy(() => import("./settings/SettingsPlace.tsx"));

/** The place the address names; all but the first are loaded when gone to. */
export function App() {
  const words = useWords();
  const { place } = useWhere();
  return (
    <Frame>
      <Suspense fallback={<p className="quiet" role="status">{words.common.loading}</p>}>
        {place === "check" && <CheckPlace />}
        {place === "runs" && <RunsPlace />}
        {place === "settings" && <SettingsPlace />}
      </Suspense>
    </Frame>
  );
}
