import { lazy, Suspense } from "react";
import type { Job } from "../../core/job/schema.ts";
import { useWhere } from "../frame/useHash.ts";
import { useShop } from "../settings/useSettings.tsx";
import { JobFaults } from "./JobFaults.tsx";
import { OpenJob } from "./OpenJob.tsx";
import { PhonePanel } from "./PhonePanel.tsx";
import { TakeIn } from "./TakeIn.tsx";

const CameraPanel = lazy(() => import("../camera/CameraPanel.tsx"));

/** Which job is on the table, and the ways to put something in; `#check/camera` and `#check/phone` open their panels. */
export function JobBar({ job }: { job: Job }) {
  const { words, figures } = useShop();
  const [panel] = useWhere().rest;
  return (
    <>
      <header className="job-bar">
        <div className="job-name">
          <b>{job.name || job.id}</b>
          <span>{job.id} · {words.check.sheetSize(figures.place(job.sheet.width), figures.place(job.sheet.height), figures.lengthUnit)}</span>
        </div>
        <div className="buttons"><OpenJob /><TakeIn /></div>
      </header>
      {panel === "phone" && <PhonePanel onClose={close} />}
      {panel === "camera" && <Suspense fallback={<p className="quiet" role="status">{words.common.loading}</p>}><CameraPanel job={job} onClose={close} /></Suspense>}
      <JobFaults />
    </>
  );
}

function close(): void {
  location.hash = "check";
}
