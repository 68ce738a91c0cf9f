import { statSync } from "node:fs";
import { setTimeout as wait } from "node:timers/promises";
import { watch, type FSWatcher } from "chokidar";
import { LibraryFault } from "../library/faults.ts";
import type { JobVersion } from "../library/jobs.ts";
import type { Library } from "../library/library.ts";
import { isOnNetwork } from "../library/place.ts";
import { Settling } from "./settling.ts";
import { enter, sight, type Measuring, type Taken, type TakeInOptions } from "./takeIn.ts";

export interface HotFolderOptions extends Omit<TakeInOptions, "signal" | "jobs"> {
  readonly library: Library;
  /** The jobs that may be in the stack, as they are when a picture comes. */
  readonly jobs: () => Promise<readonly JobVersion[]>;
  readonly measuring: Measuring;
  /** Pictures measured at once (default 1). */
  readonly workers?: number;
  /** A file has stopped growing when its size has been the same for this long, ms (default 2000). */
  readonly settle?: number;
  /** After the library could not be written to, the picture is tried again after this long, ms (default 15 000). */
  readonly retry?: number;
  /** Called for every picture file, in the order in which they arrived. */
  readonly onTaken?: (taken: Taken) => void;
  /** Called when something keeps pictures from being taken in; they wait and are tried again. */
  readonly onTrouble?: (message: string, hint: string) => void;
}

/** Endings of picture files; anything else in the folder is left alone. */
const PICTURE = /\.(jpe?g|png|tiff?|webp|hei[cf]|avif|bmp|gif)$/i;

/**
 * A watched folder. Each picture that has stopped growing is measured and entered in the library, several at a time, and entered in the order of
 * arrival. Nothing is moved or deleted. What was entered is known by its content, so stopping at any moment neither loses nor doubles a file.
 */
export class HotFolder {
  readonly #options: HotFolderOptions;
  readonly #stop = new AbortController();
  readonly #settling: Settling;
  readonly #watcher: FSWatcher;
  readonly #waiting: (() => void)[] = [];
  readonly #ready: Promise<void>;
  #free: number;
  /** The job seen last: it is tried first, as sheets of a job lie together. */
  #last: string | null = null;
  #tail: Promise<void> = Promise.resolve();
  #pending = 0;

  /** Starts watching `folder`. What lies there already is taken in too. */
  constructor(folder: string, options: HotFolderOptions) {
    this.#options = options;
    this.#free = options.workers ?? 1;
    this.#settling = new Settling(options.settle ?? 2000, (files) => files.forEach((file) => this.#take(file)));
    this.#watcher = watch(folder, {
      depth: 0, ignored: (path, stats) => stats?.isFile() === true && !PICTURE.test(path),
      // A network folder tells of no changes made by other machines: look at it every second.
      usePolling: isOnNetwork(folder), interval: 1000,
    });
    this.#ready = new Promise((resolve) => this.#watcher.once("ready", () => resolve()));
    this.#watcher.on("add", (file) => this.#settling.add(file)).on("change", (file) => this.#settling.add(file));
    this.#watcher.on("error", (error) => options.onTrouble?.(`The folder cannot be watched: ${(error as Error).message}.`, "Check that it is there and may be read."));
  }

  /** Pictures that came and have not been entered yet. */
  get waiting(): number {
    return this.#settling.size + this.#pending;
  }

  /** Resolves when what lay in the folder at the start, and what came meanwhile, has been taken in. */
  async idle(): Promise<void> {
    await this.#ready;
    while (this.#settling.size > 0 || this.#pending > 0) {
      await wait(20);
      await this.#tail;
    }
  }

  /** Stops. Pictures that are being measured are left for the next start. */
  async close(): Promise<void> {
    this.#stop.abort();
    this.#settling.close();
    await this.#watcher.close();
    await this.#tail;
  }

  #take(file: string): void {
    this.#pending++;
    const sighted = this.#inTurn(() => this.#persist(file, async () => sight(this.#options.library, this.#options.measuring, file, { ...this.#options, jobs: await this.#likeliestFirst(), signal: this.#stop.signal })));
    sighted.catch(() => undefined); // Awaited in its turn below.
    this.#tail = this.#tail.then(async () => {
      try {
        const seen = await sighted;
        const taken = "kind" in seen ? seen : await this.#persist(file, () => enter(this.#options.library, seen, this.#options));
        if ("sorted" in seen && "version" in seen.sorted) this.#last = seen.sorted.version.job.id;
        this.#options.onTaken?.(taken);
      } catch (error) {
        if (!this.#stop.signal.aborted) this.#options.onTrouble?.(`${file} was not taken in: ${(error as Error).message}`, "It stays in the folder and is tried again at the next start.");
      } finally {
        this.#pending--;
      }
    });
  }

  async #likeliestFirst(): Promise<readonly JobVersion[]> {
    const jobs = await this.#options.jobs();
    return [...jobs.filter((j) => j.job.id === this.#last), ...jobs.filter((j) => j.job.id !== this.#last)];
  }

  /** Runs `work` when one of the workers is free; first come, first served. */
  async #inTurn<T>(work: () => Promise<T>): Promise<T> {
    if (this.#free > 0) this.#free--;
    else await new Promise<void>((resolve) => this.#waiting.push(resolve));
    try {
      this.#stop.signal.throwIfAborted();
      return await work();
    } finally {
      const next = this.#waiting.shift();
      if (next) next();
      else this.#free++;
    }
  }

  /** Tries again as long as the library or the picture's folder cannot be reached; a file that is gone is left. */
  async #persist<T>(file: string, work: () => Promise<T>): Promise<T> {
    for (;;) {
      try {
        return await work();
      } catch (error) {
        if (!(error instanceof LibraryFault) || !["full", "read-only", "busy", "vanished"].includes(error.code) || !statSync(file, { throwIfNoEntry: false })) throw error;
        this.#options.onTrouble?.(error.message, `${error.hint} ${file} waits and is tried again.`);
        await wait(this.#options.retry ?? 15_000, undefined, { signal: this.#stop.signal });
      }
    }
  }
}
