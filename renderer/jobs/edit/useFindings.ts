import { useEffect, useState } from "react";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import type { Finding } from "../worker/protocol.ts";
import { Stopped, type Work } from "../worker/work.ts";

export interface Findings {
  /** What keeps it from being a job. */
  readonly faults: readonly Finding[];
  /** What to mind: marks that look the same after a turn, something beside the sheet. */
  readonly warnings: readonly string[];
}

const PAUSE = 350;

/** The checks of a job file on the job being edited, a moment after each change; null until they are first done. */
export function useFindings(work: Work, job: DraftJob): Findings | null {
  const [findings, setFindings] = useState<Findings | null>(null);
  useEffect(() => {
    let current = true;
    const timer = setTimeout(() => {
      work.ask("check", { job }).then(
        (answer) => current && setFindings(answer),
        (error: Error) => current && !(error instanceof Stopped) && setFindings({ faults: [{ path: "", message: error.message }], warnings: [] }),
      );
    }, PAUSE);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [work, job]);
  return findings;
}
