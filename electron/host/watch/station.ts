import { statSync } from "node:fs";
import { isAbsolute, resolve } from "node:path";
import { LibraryFault } from "../library/faults.ts";
import type { Library } from "../library/library.ts";
import type { HotFolderSetting } from "../library/shop.ts";
import { HotFolder } from "./hotFolder.ts";
import { jobsInStack } from "./jobsInStack.ts";
import type { Measuring, Taken } from "./takeIn.ts";

/** What a screen shows of the watched folder. */
export interface HotFolderState {
  readonly watching: HotFolderSetting | null;
  readonly entered: number;
  readonly tray: number;
  readonly known: number;
  /** Pictures that came and are not entered yet. */
  readonly waiting: number;
  /** What keeps pictures from being taken in; null where nothing does. */
  readonly trouble: { readonly message: string; readonly hint: string } | null;
  /** The latest first. */
  readonly latest: readonly { readonly file: string; readonly kind: Taken["kind"]; readonly text: string }[];
}

const KEPT = 12;

/** The hot folder of the running program: chosen once, watched again at every start until somebody stops it. */
export class HotFolderStation {
  readonly #library: Library;
  readonly #measuring: Measuring;
  #folder: HotFolder | null = null;
  #state: Omit<HotFolderState, "waiting"> = EMPTY;

  constructor(library: Library, measuring: Measuring, stopping?: AbortSignal) {
    this.#library = library;
    this.#measuring = measuring;
    stopping?.addEventListener("abort", () => void this.close());
  }

  /** Goes on with the folder of the last time, where it was not stopped. A folder that is not there now is told as trouble and not forgotten. */
  async resume(): Promise<void> {
    const setting = await this.#library.settings.get("hotFolder");
    if (!setting || this.#folder) return;
    try {
      await this.#watch(setting);
    } catch (error) {
      if (!(error instanceof LibraryFault)) throw error;
      this.#state = { ...EMPTY, watching: setting, trouble: { message: error.message, hint: error.hint } };
    }
  }

  /** @throws LibraryFault "missing" where there is no such folder; "invalid" where there is no job that its sheets could belong to */
  async start(setting: HotFolderSetting): Promise<HotFolderState> {
    await this.#watch(setting);
    await this.#library.settings.set("hotFolder", setting);
    return this.state();
  }

  /** Stops for good: the folder is forgotten. */
  async stop(): Promise<HotFolderState> {
    await this.#library.settings.set("hotFolder", null);
    await this.close();
    this.#state = { ...this.#state, watching: null };
    return this.state();
  }

  /** Stops for now, as the program closes; the folder is watched again at the next start. */
  async close(): Promise<void> {
    await this.#folder?.close();
    this.#folder = null;
  }

  state(): HotFolderState {
    return { ...this.#state, waiting: this.#folder?.waiting ?? 0 };
  }

  async #watch(setting: HotFolderSetting): Promise<void> {
    const { folder, numbering } = setting;
    if (!isAbsolute(folder)) throw new LibraryFault("invalid", `"${folder}" is not the full path of a folder.`, "Write it from its root, as C:\\scans or /home/shop/scans.");
    if (!statSync(folder, { throwIfNoEntry: false })?.isDirectory()) throw new LibraryFault("missing", `There is no folder ${folder}.`, "Check the path, and that its disk or network is connected.");
    const jobs = () => jobsInStack(this.#library, setting.jobs);
    if ((await jobs()).length === 0) throw new LibraryFault("invalid", "There is no job in the library that the sheets could belong to.", "Check a sheet of the job first, or import the job.");
    await this.#folder?.close();
    this.#state = { ...EMPTY, watching: setting };
    this.#folder = new HotFolder(resolve(folder), {
      library: this.#library, measuring: this.#measuring, workers: this.#measuring.workers, jobs, numbering: numbering ?? undefined,
      onTaken: (taken) => this.#taken(taken),
      onTrouble: (message, hint) => (this.#state = { ...this.#state, trouble: { message, hint } }),
    });
  }

  #taken(taken: Taken): void {
    const { entered, tray, known, latest } = this.#state;
    const text = taken.kind === "check" ? `${taken.record.job} ${taken.record.sheet ?? ""} ${taken.record.verdict}`.replace(/ +/g, " ") : taken.kind === "tray" ? taken.reason.message : "";
    this.#state = {
      ...this.#state, trouble: null, entered: entered + Number(taken.kind === "check"), tray: tray + Number(taken.kind === "tray"), known: known + Number(taken.kind === "known"),
      latest: [{ file: taken.file, kind: taken.kind, text }, ...latest].slice(0, KEPT),
    };
  }
}

const EMPTY: Omit<HotFolderState, "waiting"> = { watching: null, entered: 0, tray: 0, known: 0, trouble: null, latest: [] };
