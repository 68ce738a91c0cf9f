import { type ReactNode, useCallback, useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "./client.ts";
import { Fault } from "./Fault.tsx";
import { useWords } from "../settings/useSettings.tsx";

interface Offer {
  readonly text: string;
  undo(): Promise<unknown>;
}

/** After something was taken away: a line that says so, with the way back. `done` is called after either. */
export function useUndo(done: () => void): { offer(text: string, undo: () => Promise<unknown>): void; offerDeletion(text: string, deletion: { readonly id: number }): void; attempt(work: () => Promise<unknown>): Promise<void>; notice: ReactNode } {
  const words = useWords();
  const [offered, setOffered] = useState<Offer | null>(null);
  const [fault, setFault] = useState<Error | null>(null);
  const attempt = useCallback(async (work: () => Promise<unknown>) => {
    try {
      await work();
      setFault(null);
    } catch (error) {
      setFault(error as Error);
    }
  }, []);
  const offer = useCallback((text: string, undo: () => Promise<unknown>) => setOffered({ text, undo }), []);
  const offerDeletion = useCallback(
    (text: string, { id }: { readonly id: number }) => offer(text, () => read(client.api.records.deletions[":id"].undo.$post({ param: { id: String(id) } }))), [offer],
  );
  const takeBack = () => attempt(async () => {
    await offered?.undo();
    setOffered(null);
    done();
  });
  const notice = (offered || fault) && (
    <>
      {offered && <div className="notice" role="status"><span>{offered.text}</span><Button className="button" onPress={takeBack}>{words.common.undo}</Button><Button className="button" onPress={() => setOffered(null)}>{words.common.close}</Button></div>}
      {fault && <Fault error={fault} />}
    </>
  );
  return { offer, offerDeletion, attempt, notice };
}
