import { z } from "zod";
import type { MarkCandidate } from "../../../core/job/import/candidates.ts";
import type { Drawing } from "../../../core/job/import/drawing.ts";
import { proposeMeanings } from "../../../core/job/import/meaning.ts";
import { readJob } from "../../../core/job/read.ts";
import type { Job } from "../../../core/job/schema.ts";
import { buffersOf, type Lines } from "../canvas/lines.ts";
import { draft, linesOf, read } from "./drawingDesk.ts";
import type { AskKind, AskMessage, Asks } from "./protocol.ts";

// The content policy forbids code made at run time, which the validator would otherwise try.
z.config({ jitless: true });

/** The drawing last read: it stays here, since it may be large. */
let drawing: Drawing | null = null;
let candidates: readonly MarkCandidate[] = [];
/** The job last drafted of it. */
let job: Job | null = null;

const answers: { readonly [K in AskKind]: (ask: Asks[K]["ask"]) => Asks[K]["answer"] | Promise<Asks[K]["answer"]> } = {
  async read(ask) {
    drawing = job = null;
    const got = await read(ask);
    drawing = got.drawing;
    candidates = got.answer.ok ? got.answer.view.candidates : [];
    return got.answer;
  },
  meanings: ({ preset }) => (drawing ? proposeMeanings(drawing, preset) : []),
  draft(ask) {
    job = null;
    const made = drawing && draft(drawing, candidates, ask);
    job = made?.job ?? null;
    return made?.answer ?? null;
  },
  take: () => job,
  lines: linesOf,
  predict: async ({ job, setup }) => (await import("./designDesk.ts")).predicted(job, setup),
  gain: async ({ job, setup, mark }) => (await import("../../../core/design/contributions.ts")).gainMap(job, setup, mark),
  propose: async ({ job, setup, wish }) => (await import("../../../core/design/propose.ts")).proposeMarks(job, setup, wish),
  artwork: async ({ bytes, name, sheet }) => (await import("./designDesk.ts")).artwork(new Uint8Array(bytes), name, sheet),
  witnesses: async ({ job, wish }) => (await import("../../../core/design/witnesses.ts")).proposeWitnesses(job, wish),
  overlay: async ({ job, format, options }) => (await import("./outDesk.ts")).overlay(job, format, options),
  numbered: async ({ job, ...options }) => (await import("./outDesk.ts")).numbered(job, options),
  check({ job }) {
    const result = readJob(job);
    return result.ok ? { faults: [], warnings: result.warnings } : { faults: result.errors.map(({ path, message }) => ({ path, message })), warnings: [] };
  },
};

const port: Pick<Worker, "postMessage" | "addEventListener"> = self as unknown as Worker;

port.addEventListener("message", (event) => {
  void reply(event.data as AskMessage);
});

async function reply<K extends AskKind>({ serial, kind, ask }: AskMessage<K>): Promise<void> {
  try {
    const answer = await answers[kind](ask);
    port.postMessage({ serial, answer }, handedOver(answer));
  } catch (error) {
    port.postMessage({ serial, failed: error instanceof Error ? error.message : String(error) });
  }
}

function handedOver(answer: unknown): ArrayBuffer[] {
  if (isLines(answer)) return buffersOf(answer);
  const lines = (answer as { view?: { lines?: Lines | null } } | null)?.view?.lines;
  return lines ? buffersOf(lines) : [];
}

function isLines(value: unknown): value is Lines {
  return typeof value === "object" && value !== null && "levels" in value;
}
