import { useEffect, useRef, useState } from "react";
import type { DraftAnswer, DraftAsk } from "../worker/protocol.ts";
import { Stopped, type Work } from "../worker/work.ts";

/** Waits this long after the last change, ms. */
const PAUSE = 250;

export type Drafting = { readonly kind: "working" } | { readonly kind: "none" } | { readonly kind: "failed"; readonly error: Error } | { readonly kind: "draft"; readonly draft: DraftAnswer };

/** The job that the choices make, a moment after they were last changed. */
export function useDraft(work: Work, ask: DraftAsk): Drafting {
  const [state, setState] = useState<Drafting>({ kind: "working" });
  const text = JSON.stringify(ask);
  const latest = useRef(ask);
  latest.current = ask;
  useEffect(() => {
    let current = true;
    setState({ kind: "working" });
    const timer = setTimeout(() => {
      work.ask("draft", latest.current).then(
        (draft) => current && setState(draft ? { kind: "draft", draft } : { kind: "none" }),
        (error: Error) => current && !(error instanceof Stopped) && setState({ kind: "failed", error }),
      );
    }, PAUSE);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [work, text]);
  return state;
}
