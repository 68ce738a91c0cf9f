import { availableParallelism } from "node:os";
import { extname } from "node:path";
import { Piscina } from "piscina";
import type { Profile } from "../../../core/camera/profile.ts";
import type { SheetPreview } from "../../../core/check/preview.ts";
import type { CheckOutcome } from "../../../core/check/record.ts";
import type { JobOutcome } from "../../../core/check/whichJob.ts";
import type { Job } from "../../../core/job/schema.ts";
import { refusedOutcome } from "./refused.ts";
import type { MeasureTask, PreviewTask, RewriteTask, SortTask } from "./worker.ts";

export interface CheckRequest {
  /** Path of the picture, or the file's bytes. */
  readonly image: string | Uint8Array;
  /** The name people know the picture by; it goes into the record. */
  readonly name: string;
  readonly job: Job;
  readonly profile?: Profile;
  /** Aborting stops the measurement at once: the promise rejects with an AbortError. */
  readonly signal?: AbortSignal;
}

export interface SortRequest extends Omit<CheckRequest, "job"> {
  /** The jobs that the picture may show, at least one; the likeliest first. */
  readonly jobs: readonly Job[];
}

export interface PoolOptions {
  /** Pictures measured at once; each takes one core and the memory of one picture. Default: as many as there are cores. */
  readonly workers?: number;
  readonly maxPixels?: number;
}

/** Idle workers are let go after this time, and the memory with them. */
const IDLE_MS = 60_000;

/**
 * Measures pictures on worker threads. No more pictures are in memory than there are workers; the others wait as paths. What happens to one
 * picture touches no other: a crash of its worker becomes its refusal, and a new worker takes the next.
 */
export class MeasurePool {
  readonly workers: number;
  readonly #maxPixels: number | undefined;
  readonly #pool: Piscina<MeasureTask | SortTask | PreviewTask | RewriteTask, CheckOutcome | JobOutcome[] | SheetPreview | void>;

  constructor({ workers = availableParallelism(), maxPixels }: PoolOptions = {}) {
    this.workers = workers;
    this.#maxPixels = maxPixels;
    this.#pool = new Piscina({
      // The sources run as they are, the package as built: the worker's file ends as this one does.
      filename: new URL(`./worker${extname(import.meta.filename)}`, import.meta.url).href,
      minThreads: 1,
      maxThreads: workers,
      concurrentTasksPerWorker: 1,
      idleTimeout: IDLE_MS,
      workerData: { decoderThreads: Math.max(1, Math.floor(availableParallelism() / workers)) },
    });
    // A worker that dies fails its picture's promise, which is told there; the same error here is no news.
    this.#pool.on("error", () => undefined);
  }

  /** Measures one picture. Rejects only when stopped (AbortError): whatever is wrong with the picture is a refused record. */
  async check({ job, ...request }: CheckRequest): Promise<CheckOutcome> {
    return (await this.sort({ ...request, jobs: [job] }))[0].outcome;
  }

  /** Measures one picture against the jobs that it may show, and gives what came of each that was tried. Rejects only when stopped (AbortError). */
  async sort({ signal, ...request }: SortRequest): Promise<readonly JobOutcome[]> {
    try {
      return (await this.#pool.run({ ...request, maxPixels: this.#maxPixels }, { signal, name: "sort" })) as JobOutcome[];
    } catch (error) {
      if (signal?.aborted || !(error instanceof Error) || error.name === "AbortError") throw error;
      return [{ job: 0, outcome: refusedOutcome(request.name, request.jobs[0].id, {
        code: "image-unreadable",
        message: `Measuring this picture failed inside the program: ${error.message}.`.replace(/\.\.$/, "."),
        hint: "Try a smaller or another picture of the sheet; if it happens again, report it together with the picture.",
      }) }];
    }
  }

  /** Tells what a frame of a live picture promises. Rejects with a PictureFault's message where the frame is no picture. */
  async preview(frame: PreviewTask, signal: AbortSignal): Promise<SheetPreview> {
    return (await this.#pool.run(frame, { signal, name: "preview" })) as SheetPreview;
  }

  /** Writes a HEIC picture anew as TIFF. Rejects with a PictureFault's message. */
  async rewriteHeic(task: RewriteTask): Promise<void> {
    await this.#pool.run(task, { name: "rewriteHeic" });
  }

  /**
   * Measures many pictures at once and gives the outcomes in the order of the requests, each as soon as it and all before it are there.
   * `done` is called at every finished picture, in the order in which they finish.
   */
  async *checkAll(requests: readonly CheckRequest[], done?: (finished: number, of: number) => void): AsyncGenerator<CheckOutcome> {
    let finished = 0;
    const running = requests.map((request) => {
      const outcome = this.check(request).finally(() => done?.(++finished, requests.length));
      outcome.catch(() => undefined); // Awaited below, in order; until then a rejection is not unhandled.
      return outcome;
    });
    for (const outcome of running) yield await outcome;
  }

  /** Lets the workers go. Pictures still waiting are not measured. */
  async close(): Promise<void> {
    await this.#pool.destroy();
  }
}
