import { extname } from "node:path";
import { Piscina } from "piscina";
import type { Profile } from "../../../core/camera/profile.ts";
import type { CalibrationTask, Reading, ReadingTask } from "./targetWorker.ts";

/** The worker is let go soon: calibrating is rare. */
const IDLE_MS = 5_000;

/**
 * Reads targets in pictures and makes profiles on a worker thread, so that neither stops the screens. What is no longer asked for is worked out all the same, it takes a second: a task
 * that is called off takes its thread with it, and the pool, which keeps none in reserve, starts another only at the next call, so that what waits in the queue waits for good.
 */
export class TargetReader {
  #pool: Piscina | undefined;

  constructor(stopping?: AbortSignal) {
    stopping?.addEventListener("abort", () => void this.#pool?.destroy());
  }

  read(task: ReadingTask): Promise<Reading> {
    return this.#worker().run(task) as Promise<Reading>;
  }

  calibrate(task: CalibrationTask): Promise<{ readonly ok: true; readonly profile: Profile } | { readonly ok: false; readonly reason: string }> {
    return this.#worker().run(task, { name: "calibrate" }) as ReturnType<TargetReader["calibrate"]>;
  }

  #worker(): Piscina {
    // The sources run as they are, the package as built: the worker's file ends as this one does.
    this.#pool ??= new Piscina({ filename: new URL(`./targetWorker${extname(import.meta.filename)}`, import.meta.url).href, minThreads: 0, maxThreads: 1, idleTimeout: IDLE_MS });
    return this.#pool;
  }
}
