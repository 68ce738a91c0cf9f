import { statSync } from "node:fs";

interface Growing {
  stamp: string;
  /** When the stamp was seen first, ms. */
  since: number;
  modified: number;
}

/**
 * Files that may still be growing. A file has settled when its size and time of change have stayed the same for `settle` ms; also files that lay
 * there before watching began are waited for: their copying may not have ended.
 */
export class Settling {
  readonly #files = new Map<string, Growing>();
  readonly #settle: number;
  readonly #timer: NodeJS.Timeout;

  /** `onSettled` gets the files that settled together, the first changed first, then by name. */
  constructor(settle: number, onSettled: (files: readonly string[]) => void) {
    this.#settle = settle;
    this.#timer = setInterval(() => {
      const settled = this.#sweep(performance.now());
      if (settled.length > 0) onSettled(settled);
    }, Math.max(20, Math.min(200, settle / 4)));
  }

  get size(): number {
    return this.#files.size;
  }

  add(file: string): void {
    if (!this.#files.has(file)) this.#files.set(file, { stamp: "", since: 0, modified: 0 });
  }

  close(): void {
    clearInterval(this.#timer);
    this.#files.clear();
  }

  #sweep(now: number): string[] {
    const settled: { file: string; modified: number }[] = [];
    for (const [file, growing] of this.#files) {
      const status = statSync(file, { throwIfNoEntry: false });
      const stamp = status ? `${status.size}:${status.mtimeMs}` : "gone";
      if (stamp !== growing.stamp) this.#files.set(file, { stamp, since: now, modified: status?.mtimeMs ?? 0 });
      else if (now - growing.since >= this.#settle) settled.push({ file, modified: growing.modified });
    }
    for (const { file } of settled) this.#files.delete(file);
    return settled.sort((a, b) => a.modified - b.modified || a.file.localeCompare(b.file, "en", { numeric: true })).map((s) => s.file);
  }
}
