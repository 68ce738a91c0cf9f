import { useState } from "react";
import { useSentence } from "../../words/useSentence.ts";
import { Stopped } from "./work.ts";

/** Why something cannot be had, and what to do. */
interface Refusal {
  readonly reason: string;
  readonly hint: string;
}

export interface Asking {
  readonly busy: boolean;
  /** Why it was refused, in the reader's language; empty where it was not. */
  readonly refusal: string;
  readonly fault: Error | null;
  /** Asks for something that takes a while. `done` gets the answer, null where it is refused; nothing where it is stopped or fails. */
  ask<T extends object>(run: () => Promise<T | Refusal>, done: (answer: T | null) => void): Promise<void>;
}

/** One thing at a time asked of the worker, with what there is to show of it meanwhile. */
export function useAsking(): Asking {
  const sentence = useSentence();
  const [busy, setBusy] = useState(false);
  const [refusal, setRefusal] = useState("");
  const [fault, setFault] = useState<Error | null>(null);
  return {
    busy, refusal, fault,
    ask: async (run, done) => {
      setBusy(true);
      setRefusal("");
      setFault(null);
      try {
        const answer = await run();
        if (!("reason" in answer)) return done(answer);
        setRefusal(`${sentence(answer.reason)} ${sentence(answer.hint)}`.trim());
        done(null);
      } catch (error) {
        if (!(error instanceof Stopped)) setFault(error as Error);
      } finally {
        setBusy(false);
      }
    },
  };
}
