import { useEffect, useState } from "react";
import type { Setup } from "../../../core/design/setup.ts";
import type { NoView } from "../../../core/design/viewpoint.ts";
import type { Job, Mark } from "../../../core/job/schema.ts";
import type { GainMap, Predicted } from "../worker/protocol.ts";
import { Stopped, type Work } from "../worker/work.ts";

export type Predicting<T> =
  | { readonly kind: "working" }
  | { readonly kind: "failed"; readonly error: Error }
  | { readonly kind: "refused"; readonly reason: string; readonly hint: string }
  | { readonly kind: "ready"; readonly value: T };

const PAUSE = 400;
/** The mark that the map of gains is for. */
export const ONE_MORE: Mark = { id: "one more", shape: "dot", x: 0, y: 0, diameter: 6 };

/** The prediction for a job and a way of looking at it, a moment after either changed. */
export function usePrediction(work: Work, job: Job, setup: Setup | null): Predicting<Predicted> {
  return useAsked(work, job, setup, askPrediction);
}

/** What one more mark would bring, all over the sheet; asked for only while it is shown. */
export function useGain(work: Work, job: Job, setup: Setup | null): Predicting<GainMap> {
  return useAsked(work, job, setup, askGain);
}

type Ask<T> = (work: Work, job: Job, setup: Setup) => Promise<T | NoView>;

const askPrediction: Ask<Predicted> = (work, job, setup) => work.ask("predict", { job, setup });
const askGain: Ask<GainMap> = (work, job, setup) => work.ask("gain", { job, setup, mark: ONE_MORE });

function useAsked<T extends { readonly ok: true }>(work: Work, job: Job, setup: Setup | null, ask: Ask<T>): Predicting<T> {
  const [state, setState] = useState<Predicting<T>>({ kind: "working" });
  useEffect(() => {
    if (!setup) return;
    let current = true;
    const timer = setTimeout(() => {
      ask(work, job, setup).then(
        (answer) => current && setState(answer.ok ? { kind: "ready", value: answer as T } : { kind: "refused", reason: (answer as NoView).reason, hint: (answer as NoView).hint }),
        (error: Error) => current && !(error instanceof Stopped) && setState({ kind: "failed", error }),
      );
    }, PAUSE);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [work, job, setup, ask]);
  return state;
}
