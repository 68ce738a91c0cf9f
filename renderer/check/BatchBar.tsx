import { Button, ProgressBar } from "react-aria-components";
import type { DeskView } from "../desk/deskStore.ts";
import { desk } from "../desk/useDesk.ts";
import { Labelled } from "../frame/Labelled.tsx";
import { ReportMenu } from "../report/ReportMenu.tsx";
import { useShop } from "../settings/useSettings.tsx";
import type { Words } from "../words/words.ts";

/** How far the pictures are measured, how long it will take, and stopping; and taking the shown picture off. */
export function BatchBar({ view }: { view: DeskView }) {
  const { words } = useShop();
  const { done, all } = view.batch;
  const left = view.sheets.filter((sheet) => sheet.state === "waiting" || sheet.state === "sending").length;
  const chosen = view.sheets.find((sheet) => sheet.key === view.selected);
  return (
    <div className={`batch${!view.running && left > 0 ? " tight" : ""}`}>
      {view.running && (
        <>
          <ProgressBar className="progress" value={done} maxValue={Math.max(1, all)} aria-label={words.check.progress(String(done), String(all))}>
            <span className="progress-rule"><span className="progress-done" style={{ width: `${(100 * done) / Math.max(1, all)}%` }} /></span>
            <span>{words.check.progress(String(done), String(all))}{done > 1 && all - done > 1 && <>, {words.common.timeLeft(timeLeft(view, words))}</>}</span>
          </ProgressBar>
          <Button className="button" onPress={() => desk.stop()}>{words.common.stop}</Button>
        </>
      )}
      {!view.running && left > 0 && (
        <>
          <span role="status">{words.check.stopped(String(left))}</span>
          <Button className="main-button" onPress={() => desk.resume()}>{words.common.resume}</Button>
        </>
      )}
      {!view.running && chosen && (chosen.state === "done" || chosen.state === "failed") && (
        <>
          {chosen.outcome && chosen.id && <ReportMenu key={chosen.id} about={{ picture: chosen.id }} />}
          <Button className="button" onPress={() => desk.again(chosen.key)}><Labelled icon="again" text={words.check.retake} /></Button>
          <Button className="button" onPress={() => desk.takeOff(chosen.key)}><Labelled icon="close" text={words.check.takeOff} /></Button>
        </>
      )}
    </div>
  );
}

function timeLeft(view: DeskView, words: Words): string {
  const { done, all, startedAt } = view.batch;
  const seconds = ((performance.now() - startedAt) / done) * (all - done) / 1000;
  return seconds < 90 ? words.common.seconds(Math.ceil(seconds)) : words.common.minutes(Math.ceil(seconds / 60));
}
