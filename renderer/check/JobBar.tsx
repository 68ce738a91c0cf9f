import type { Job } from "../../core/job/schema.ts";
import { useShop } from "../settings/useSettings.tsx";
import { JobFaults } from "./JobFaults.tsx";
import { PhonePanel } from "./PhonePanel.tsx";
import { OpenJob } from "./OpenJob.tsx";
import { TakeIn } from "./TakeIn.tsx";

/** Which job is on the table, and the ways to put something in. */
export function JobBar({ job }: { job: Job }) {
  const { words, figures } = useShop();
  return (
    <>
      <header className="job-bar">
        <div className="job-name">
          <b>{job.name || job.id}</b>
          <span>{job.id} · {words.check.sheetSize(figures.place(job.sheet.width), figures.place(job.sheet.height), figures.lengthUnit)}</span>
        </div>
        <div className="buttons"><OpenJob /><TakeIn /></div>
      </header>
      <PhonePanel />
      <JobFaults />
    </>
  );
}
