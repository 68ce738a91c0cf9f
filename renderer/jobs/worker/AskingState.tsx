import { Button } from "react-aria-components";
import { Fault } from "../../frame/Fault.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import type { Asking } from "./useAsking.ts";
import type { Work } from "./work.ts";

/** What there is to show of something asked of the worker: that it is at it, with a way to stop it, or why there is no answer. */
export function AskingState({ asking: { busy, refusal, fault }, work, at }: { asking: Asking; work: Work; at: string }) {
  const words = useWords();
  return (
    <>
      {busy && <div className="buttons"><span role="status" className="note">{at}</span><Button className="button" onPress={() => work.stop()}>{words.common.stop}</Button></div>}
      {refusal && <p className="fault" role="alert">{refusal}</p>}
      {fault && <Fault error={fault} />}
    </>
  );
}
