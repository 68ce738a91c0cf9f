import { Button } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Fault } from "../frame/Fault.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { DropArea } from "./DropArea.tsx";
import { JobFaults } from "./JobFaults.tsx";
import { OpenJob } from "./OpenJob.tsx";

/** First start, or no job: open one's own or try the sample. */
export function NoJob({ fault }: { fault: Error | null }) {
  const words = useWords();
  return (
    <DropArea className="empty">
      <h1>{words.check.noJobTitle}</h1>
      <p>{words.check.noJobText}</p>
      {fault && <Fault error={fault} />}
      <JobFaults />
      <div className="buttons">
        <OpenJob main />
        <Button className="button" onPress={() => desk.openSample()}>{words.check.openSample}</Button>
      </div>
    </DropArea>
  );
}
