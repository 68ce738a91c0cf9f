import { memo, useDeferredValue, useEffect } from "react";
import type { Job } from "../../core/job/schema.ts";
import type { DeskView } from "../desk/deskStore.ts";
import type { Sheet } from "../desk/sheet.ts";
import { useDesk } from "../desk/useDesk.ts";
import { Fault } from "../frame/Fault.tsx";
import { PictureView } from "../picture/PictureView.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { SheetPanel, Warnings } from "../sheet/SheetPanel.tsx";
import { SheetStrip } from "../sheet/SheetStrip.tsx";
import { VerdictBand } from "../sheet/VerdictBand.tsx";
import { BatchBar } from "./BatchBar.tsx";
import { DropArea } from "./DropArea.tsx";
import { JobBar } from "./JobBar.tsx";
import { NoJob } from "./NoJob.tsx";
import { Notice } from "./Notice.tsx";
import { takeFiles } from "./takeFiles.ts";
import { TakeIn } from "./TakeIn.tsx";

/** The main way through: a picture in, its verdict out, what to do next. */
export function CheckPlace() {
  const words = useWords();
  const view = useDesk();
  usePaste();

  if (!view.loaded) return <p className="quiet" role="status">{words.common.loading}</p>;
  // One area for both, so that what is held over it while a job opens is not lost with the one before.
  return (
    <DropArea className={view.job ? "check" : "empty start"}>
      {view.job ? <JobOpen view={view} job={view.job} /> : <NoJob fault={view.fault} />}
    </DropArea>
  );
}

function JobOpen({ view, job }: { view: DeskView; job: Job }) {
  const words = useWords();
  const sheet = view.sheets.find((one) => one.key === view.selected);
  return (
    <>
      <JobBar job={job} />
      {view.fault && <Fault error={view.fault} />}
      <Notice notice={view.notice} />
      {sheet ? (
        <>
          <VerdictBand sheet={sheet} />
          <Body sheet={sheet} job={job} />
          <div className="check-foot">
            <SheetStrip sheets={view.sheets} selected={view.selected} />
            <BatchBar view={view} />
          </div>
        </>
      ) : (
        <div className="empty">
          <h1>{words.check.dropTitle}</h1>
          <p>{words.check.dropText}</p>
          <div className="buttons"><TakeIn /></div>
        </div>
      )}
    </>
  );
}

/** The picture and its figures; another sheet's verdict is seen before they are drawn. */
const Body = memo(function Body({ job, sheet: chosen }: { job: Job; sheet: Sheet }) {
  const sheet = useDeferredValue(chosen);
  const record = sheet.outcome?.record;
  return (
    <div className="check-body">
      <PictureView key={sheet.key} id={sheet.id} name={sheet.name} job={job} outcome={sheet.outcome} />
      {record?.status === "measured" && <SheetPanel job={job} record={record} />}
      {record?.status === "refused" && record.warnings.length > 0 && <div className="panel"><Warnings warnings={record.warnings} /></div>}
    </div>
  );
});

/** Pictures pasted anywhere on the place are taken in. */
function usePaste(): void {
  useEffect(() => {
    const paste = (event: ClipboardEvent) => {
      const files = [...(event.clipboardData?.files ?? [])];
      if (files.length > 0) void takeFiles(files);
    };
    document.addEventListener("paste", paste);
    return () => document.removeEventListener("paste", paste);
  }, []);
}
