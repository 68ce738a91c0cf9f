import { addCheck } from "../../../electron/host/library/checks.ts";
import { randomOf, seedOf } from "../../../core/sample/random.ts";
import type { Library } from "../../../electron/host/library/library.ts";
import { measured, overlay, picture, second, trayJob } from "../../electron/library/records.ts";

/** A library that grows to `total` checks in ten runs, as a shop's does over years; many in one transaction, as restoring would. */
export class Filling {
  made = 0;
  readonly perRun: number;
  readonly #library: Library;
  #jobVersionId = 0;

  constructor(library: Library, total: number) {
    this.#library = library;
    this.perRun = total / 10;
  }

  async start(): Promise<void> {
    this.#jobVersionId = (await this.#library.jobs.put(trayJob())).id;
    for (let r = 0; r < 10; r++) await this.#library.runs.start({ jobVersionId: this.#jobVersionId, name: `run ${r + 1}` });
  }

  /** The i-th check: a slow wave and scatter from sheet to sheet. */
  check(i: number, runId: number) {
    const scatter = 0.05 * randomOf(seedOf(1, i)).normal();
    return {
      runId, jobVersionId: this.#jobVersionId, picture: picture(`bench-${i}`), takenAt: second(i % this.perRun),
      outcome: { record: measured(String((i % this.perRun) + 1), 0.15 * Math.sin(i / 400) + scatter, { image: `sheet-${i}.jpg` }), overlay },
    };
  }

  async fill(n: number): Promise<void> {
    while (this.made < n) {
      const end = Math.min(n, this.made + 1000);
      await this.#library.opened.db.transaction().execute(async (t) => {
        for (; this.made < end; this.made++) await addCheck(t, this.check(this.made, 1 + Math.floor(this.made / this.perRun)), new Date());
      });
    }
  }
}
