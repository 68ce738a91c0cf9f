import { useEffect, useState } from "react";
import type { AnswerMessage, AskKind, Asks } from "./protocol.ts";

/** The work was stopped before it was done. */
export class Stopped extends Error {}

/** Drawings are read, and jobs checked, on a thread of their own: the screen stays alive, and a file that never ends can be stopped. */
export class Work {
  #worker: Worker | null = null;
  #serial = 0;
  readonly #waiting = new Map<number, { resolve: (answer: never) => void; reject: (error: Error) => void }>();

  /** @throws Stopped; Error where the work failed */
  ask<K extends AskKind>(kind: K, ask: Asks[K]["ask"], handOver: Transferable[] = []): Promise<Asks[K]["answer"]> {
    const worker = (this.#worker ??= this.#start());
    const serial = ++this.#serial;
    return new Promise((resolve, reject) => {
      this.#waiting.set(serial, { resolve, reject });
      worker.postMessage({ serial, kind, ask }, handOver);
    });
  }

  /** Ends what is being done. The next question starts afresh, without the drawing. */
  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#fail(new Stopped());
  }

  #start(): Worker {
    const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
    worker.addEventListener("message", ({ data }: MessageEvent<AnswerMessage>) => {
      const waiting = this.#waiting.get(data.serial);
      this.#waiting.delete(data.serial);
      if ("failed" in data) waiting?.reject(new Error(data.failed));
      else waiting?.resolve(data.answer as never);
    });
    // A worker that ran out of memory, or could not be loaded, answers nobody any more.
    worker.addEventListener("error", (event) => {
      worker.terminate();
      this.#worker = null;
      this.#fail(new Error(event.message || "The drawing was too much for this computer's memory."));
    });
    return worker;
  }

  #fail(error: Error): void {
    for (const { reject } of this.#waiting.values()) reject(error);
    this.#waiting.clear();
  }
}

/** A worker for as long as the component is shown. */
export function useWork(): Work {
  const [work] = useState(() => new Work());
  useEffect(() => () => work.stop(), [work]);
  return work;
}
