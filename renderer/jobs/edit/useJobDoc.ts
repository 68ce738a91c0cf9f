import { useCallback, useEffect, useRef, useState } from "react";
import type { KeepAnswer } from "../../../electron/host/app/routes/jobRoutes.ts";
import type { DraftJob, JobPage } from "../../../electron/host/library/drafts.ts";
import { client, read } from "../../frame/client.ts";
import { begun, changed, type History, redone, settled, undone } from "./history.ts";

/** Changes the job; `tag` names what is changed, so that typing or dragging is one step to undo until `settle`; null for a step by itself. */
export type Edit = (tag: string | null, change: (job: DraftJob) => DraftJob) => void;

export type Saving = { readonly kind: "kept" } | { readonly kind: "saving" } | { readonly kind: "failed"; readonly error: Error };

export interface JobDoc {
  readonly page: JobPage;
  readonly history: History<DraftJob>;
  readonly job: DraftJob;
  readonly saving: Saving;
  readonly edit: Edit;
  /** What was dragged, held or typed in has been let go. */
  settle(): void;
  undo(): void;
  redo(): void;
  /** Saves at once what is not saved yet. */
  flush(): Promise<void>;
  /** Keeps the job as a version; answers what it lacks where it is no whole job yet. */
  keep(): Promise<KeepAnswer>;
}

/** Saved this long after the last change, ms. */
const PAUSE = 500;

/** A job being edited: its history of changes, kept in the library a moment after each. */
export function useJobDoc(first: JobPage): JobDoc {
  const id = String(first.id);
  const [page, setPage] = useState(first);
  const [history, setHistory] = useState(() => begun(first.content));
  const isDraft = useCallback(() => setPage((now) => ({ ...now, draft: true })), []);
  const { saving, save } = useSaved(id, history.now, isDraft);
  return {
    page, history, job: history.now, saving,
    edit: useCallback<Edit>((tag, change) => setHistory((now) => changed(now, change(now.now), tag)), []),
    settle: useCallback(() => setHistory(settled), []),
    undo: useCallback(() => setHistory(undone), []),
    redo: useCallback(() => setHistory(redone), []),
    flush: save,
    async keep() {
      await save();
      const answer = await read<KeepAnswer>(client.api.jobs[":id"].versions.$post({ param: { id } }));
      if (answer.kept) setPage(answer.page);
      return answer;
    },
  };
}

/**
 * Keeps a job as its draft: a moment after each change, and at once when the page or the window goes.
 *
 * @param onSaved called after each save; must be stable.
 * @returns `save` saves at once what is not saved yet.
 */
function useSaved(id: string, job: DraftJob, onSaved: () => void): { readonly saving: Saving; readonly save: () => Promise<void> } {
  const [saving, setSaving] = useState<Saving>({ kind: "kept" });
  const saved = useRef(job);
  const latest = useRef(job);
  latest.current = job;
  const queue = useRef<Promise<void>>(Promise.resolve());

  /** One save after the other, each of what is there when its turn comes. */
  const save = useCallback((): Promise<void> => {
    queue.current = queue.current.then(async () => {
      const content = latest.current;
      if (content === saved.current) return;
      setSaving({ kind: "saving" });
      try {
        await read(client.api.jobs[":id"].draft.$put({ param: { id }, json: content }));
        saved.current = content;
        onSaved();
        setSaving(latest.current === content ? { kind: "kept" } : { kind: "saving" });
      } catch (error) {
        setSaving({ kind: "failed", error: error as Error });
      }
    });
    return queue.current;
  }, [id, onSaved]);

  useEffect(() => {
    if (job === saved.current) return;
    setSaving((now) => (now.kind === "failed" ? now : { kind: "saving" }));
    const timer = setTimeout(() => void save(), PAUSE);
    return () => clearTimeout(timer);
  }, [job, save]);
  // Leaving, or the window going out of sight, saves at once.
  useEffect(() => {
    const hidden = () => document.visibilityState === "hidden" && void save();
    document.addEventListener("visibilitychange", hidden);
    return () => {
      document.removeEventListener("visibilitychange", hidden);
      void save();
    };
  }, [save]);
  return { saving, save };
}
