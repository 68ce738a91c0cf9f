import { Button } from "react-aria-components";
import { useWords } from "../settings/useSettings.tsx";
import { Fault } from "./Fault.tsx";
import { Icon } from "./Icon.tsx";
import type { Asked } from "./useHost.ts";

/** What stands where an answer of the host is not there yet, or will not come. */
export function Waiting({ asked }: { asked: Asked<unknown> }) {
  const words = useWords();
  if (asked.kind === "failed") {
    return (
      <>
        <Fault error={asked.error} />
        <div className="buttons"><Button className="button" onPress={asked.again}><Icon name="again" />{words.common.tryAgain}</Button></div>
      </>
    );
  }
  return <p className="quiet" role="status">{words.common.loading}</p>;
}
