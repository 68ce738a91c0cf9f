import { useDesk } from "../desk/useDesk.ts";
import { useWords } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";

/** What is wrong with the job file that was to be opened, or what to mind about the one that is. */
export function JobFaults() {
  const words = useWords();
  const say = useSentence();
  const { jobFaults, jobWarnings } = useDesk();
  if (jobFaults.length > 0) {
    return (
      <div className="fault" role="alert">
        <strong>{words.check.jobFault}</strong>
        <ul>{jobFaults.map((fault) => <li key={fault.path + fault.message}>{say(fault.message)}</li>)}</ul>
      </div>
    );
  }
  if (jobWarnings.length === 0) return null;
  return (
    <div className="warnings" role="note">
      <strong>{words.check.jobWarnings}</strong>
      <ul>{jobWarnings.map((warning) => <li key={warning}>{say(warning)}</li>)}</ul>
    </div>
  );
}
