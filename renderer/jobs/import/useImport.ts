import { useCallback, useEffect, useState } from "react";
import type { BoxName, UnitName } from "../../../core/job/import/read.ts";
import type { DrawingView, ReadAnswer } from "../worker/protocol.ts";
import { Stopped, useWork, type Work } from "../worker/work.ts";
import { takeHanded } from "./handed.ts";

/** Where importing a drawing has got to. */
export type Reading =
  | { readonly kind: "none" }
  | { readonly kind: "reading"; readonly name: string }
  | { readonly kind: "failed"; readonly name: string; readonly error: Error }
  | { readonly kind: "refused"; readonly name: string; readonly reason: string; readonly hint: string }
  | { readonly kind: "unit"; readonly name: string; readonly width: number; readonly height: number }
  | { readonly kind: "ready"; readonly name: string; readonly file: File; readonly view: DrawingView };

export interface HowToRead {
  readonly unit?: UnitName;
  readonly page: number;
  readonly box: BoxName;
}

export interface Import {
  readonly work: Work;
  readonly reading: Reading;
  readonly how: HowToRead;
  /** Reads another drawing. */
  open(file: File): void;
  /** Reads the same drawing in another way: another page, box or unit. */
  readAs(part: Partial<HowToRead>): void;
  stop(): void;
}

const FIRST: HowToRead = { page: 1, box: "media" };

/** Reads a drawing on its worker, and again where the reader says how. */
export function useImport(): Import {
  const work = useWork();
  const [file, setFile] = useState<File | null>(null);
  const [how, setHow] = useState(FIRST);
  const [reading, setReading] = useState<Reading>({ kind: "none" });

  const open = useCallback((next: File) => {
    setHow(FIRST);
    setFile(next);
  }, []);
  useEffect(() => {
    const handed = takeHanded();
    if (handed) open(handed);
  }, [open]);

  useEffect(() => {
    if (!file) return;
    let current = true;
    const { name } = file;
    // A drawing that is only read in another way stays in sight meanwhile.
    setReading((now) => (now.kind === "ready" && now.file === file ? now : { kind: "reading", name }));
    const run = async () => {
      const bytes = await file.arrayBuffer();
      return work.ask("read", { name, ...how, bytes }, [bytes]);
    };
    run().then(
      (answer) => current && setReading(readingOf(file, answer)),
      (error: Error) => current && setReading(error instanceof Stopped ? { kind: "none" } : { kind: "failed", name, error }),
    );
    return () => {
      current = false;
    };
  }, [file, how, work]);

  return {
    work, reading, how, open,
    readAs: (part) => setHow((now) => ({ ...now, ...part })),
    stop() {
      work.stop();
      setFile(null);
      setReading({ kind: "none" });
    },
  };
}

function readingOf(file: File, answer: ReadAnswer): Reading {
  const { name } = file;
  if (answer.ok) return { kind: "ready", name, file, view: answer.view };
  if (answer.needs === "unit") return { kind: "unit", name, width: answer.width, height: answer.height };
  return { kind: "refused", name, reason: answer.reason, hint: answer.hint };
}
