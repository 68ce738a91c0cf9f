import { Button } from "react-aria-components";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { type Chosen, chosenBy } from "./chosen.ts";
import type { Findings } from "./useFindings.ts";

/** What the job still lacks and what to mind, always in sight; each leads to what it speaks of. */
export function FindingList({ findings, choose }: { findings: Findings | null; choose: (chosen: Chosen) => void }) {
  const words = useWords();
  const w = words.jobs.edit;
  const sentence = useSentence();
  if (findings === null) return <p className="note" role="status">{words.common.loading}</p>;
  const { faults, warnings } = findings;
  if (faults.length === 0 && warnings.length === 0) return <p className="findings-none" role="status">{w.fine}</p>;
  return (
    <div className={faults.length > 0 ? "fault findings" : "warnings findings"} role="status">
      <strong>{faults.length > 0 ? w.faults : w.mind}</strong>
      <ul>
        {faults.map(({ path, message }) => {
          const thing = chosenBy(path);
          return <li key={path + message}>{sentence(message)} {thing && <Button className="text-button" onPress={() => choose(thing)}>{w.show}</Button>}</li>;
        })}
        {warnings.map((warning) => <li key={warning}>{sentence(warning)}</li>)}
      </ul>
    </div>
  );
}
