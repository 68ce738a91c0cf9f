import { memo } from "react";
import { Button } from "react-aria-components";
import type { JobEntry } from "../../../electron/host/library/drafts.ts";
import { client, read } from "../../frame/client.ts";
import { Icon } from "../../frame/Icon.tsx";
import { go } from "../../frame/useHash.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { takeToDesk } from "../takeToDesk.ts";
import { whenText } from "../whenText.ts";

interface Props {
  readonly job: JobEntry;
  /** Runs what may fail; its fault is shown above the list. */
  readonly attempt: (work: () => Promise<unknown>) => void;
  readonly changed: () => void;
  readonly removed: (name: string, deletion: number) => void;
}

/** One job of the list: its sketch leads to it; what can be done with it stands beside. */
export const JobRow = memo(function JobRow({ job, attempt, changed, removed }: Props) {
  const { words, language } = useShop();
  const w = words.jobs.list;
  const name = job.name || job.job;
  const param = { id: String(job.id) };
  const facts = [
    job.job,
    job.versions === 0 ? w.noVersion : w.version(String(job.versions)) + (job.draft ? `, ${w.changes}` : ""),
    ...(job.runs > 0 ? [w.runs(job.runs)] : []),
    w.changedAt(whenText(job.changedAt, language)),
  ];
  return (
    <li className="job">
      <a className="job-link" href={`#jobs/${job.id}`}>
        <img className="job-sketch" src={`/api/jobs/${job.id}/sketch.svg?at=${encodeURIComponent(job.changedAt)}`} alt="" loading="lazy" />
        <span className="run-name"><b>{name}</b><small>{facts.join(" · ")}</small></span>
      </a>
      <div className="buttons">
        <Button className="button" aria-label={w.useOf(name)} onPress={() => attempt(async () => {
          const faults = await takeToDesk(job.id);
          if (faults.length > 0) go("jobs", String(job.id));
        })}>{w.use}</Button>
        <Button className="button" aria-label={w.duplicateOf(name)} onPress={() => attempt(async () => {
          await read(client.api.jobs[":id"].duplicate.$post({ param, json: { name: w.copyName(name) } }));
          changed();
        })}>{w.duplicate}</Button>
        <Button className="square" aria-label={w.removeOf(name)} onPress={() => attempt(async () => removed(name, (await read(client.api.jobs[":id"].$delete({ param }))).id))}><Icon name="close" /></Button>
      </div>
    </li>
  );
});
