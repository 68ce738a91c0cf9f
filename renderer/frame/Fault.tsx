import { useWords } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";
import { HostFault } from "./client.ts";

/** What went wrong and what to do, in the reader's language where we have the sentence, else in the host's own words. */
export function Fault({ error }: { error: Error }) {
  const { message, hint } = useFaultText(error);
  return (
    <div className="fault" role="alert">
      <strong>{message}</strong>
      {hint && <span> {hint}</span>}
    </div>
  );
}

/** What is wrong and what to do, in the reader's language where the fault's code is known there; else in the host's own words. */
export function useFaultText(error: Error): { message: string; hint: string } {
  const { faults } = useWords();
  const say = useSentence();
  if (!(error instanceof HostFault)) return { ...faults.unexpected, message: `${faults.unexpected.message} (${error.message})` };
  if (error.code === "offline") return faults.offline;
  const known = faults.byCode[error.code];
  if (known) return known;
  return error.message ? { message: say(error.message), hint: say(error.hint) } : faults.unexpected;
}
