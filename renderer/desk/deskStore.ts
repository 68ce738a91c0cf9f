import type { Job } from "../../core/job/schema.ts";
import type { DeskState, OpenJobAnswer } from "../../electron/host/app/routes/deskRoutes.ts";
import { type Client, createClient } from "../../electron/host/app/client.ts";
import { HostFault, read } from "../frame/client.ts";
import type { Words } from "../words/words.ts";
import type { Sheet } from "./sheet.ts";

export interface DeskView {
  readonly loaded: boolean;
  readonly job: Job | null;
  readonly sheets: readonly Sheet[];
  readonly selected: string | null;
  readonly running: boolean;
  /** Pictures of the present batch: measured so far, and all. */
  readonly batch: { readonly done: number; readonly all: number; readonly startedAt: number };
  readonly notice: { readonly text: (words: Words["check"]) => string; readonly undo?: () => void } | null;
  readonly fault: Error | null;
  /** What was wrong with the job file that was to be opened last. */
  readonly jobFaults: readonly { readonly path: string; readonly message: string }[];
  readonly jobWarnings: readonly string[];
}

const EMPTY: DeskView = {
  loaded: false, job: null, sheets: [], selected: null, running: false, batch: { done: 0, all: 0, startedAt: 0 }, notice: null, fault: null,
  jobFaults: [], jobWarnings: [],
};

/** The host's desk as it comes over the wire. */
type Desk = Pick<DeskState, "leftBehind"> & { readonly job: Job | null; readonly pictures: readonly Pick<DeskState["pictures"][number], "id" | "name" | "outcome">[] };

/** Pictures measured at a time. */
const AT_ONCE = 3;
/** Pictures sent at a time. */
const SENT_AT_ONCE = 2;

/**
 * The desk as the screens see it. Pictures are sent to the host at once, one after the other, so that they lie safe there, and measured in order as they arrive, a few
 * at a time; `stop` leaves the rest waiting and `resume` goes on with them. Snapshots are immutable: `useSyncExternalStore` reads `view`.
 */
export class DeskStore {
  view: DeskView = EMPTY;
  readonly #client: Client;
  readonly #listeners = new Set<() => void>();
  #stopper = new AbortController();
  #working = 0;
  #sending = 0;
  #serial = 0;
  /** Settles when no job is being opened any more. */
  #opening: Promise<void> = Promise.resolve();

  constructor(client: Client = createClient(location.origin)) {
    this.#client = client;
  }

  subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  snapshot = (): DeskView => this.view;

  #set(part: Partial<DeskView>): void {
    this.view = { ...this.view, ...part };
    for (const listener of this.#listeners) listener();
  }

  #change(key: string, part: Partial<Sheet>): void {
    this.#set({ sheets: this.view.sheets.map((sheet) => (sheet.key === key ? { ...sheet, ...part } : sheet)) });
  }

  /** Reads what lies on the host's desk; pictures not yet measured are measured, also those that waited when the program ended. */
  async load(): Promise<void> {
    try {
      const state = await read(this.#client.api.desk.$get());
      const resumed = state.pictures.filter((picture) => picture.resumed && !picture.outcome).length;
      this.#receive(state);
      if (resumed > 0) this.#set({ notice: { text: (words) => words.resumed(resumed) } });
    } catch (error) {
      this.#set({ loaded: true, fault: error as Error });
    }
  }

  /** Whether pictures have not reached the host yet: they would be lost if the page were left. */
  isSending(): boolean {
    return this.view.sheets.some((sheet) => sheet.file !== undefined && sheet.state !== "failed");
  }

  /** Whether the host measures something of which this screen only waits to hear: a phone's picture. */
  isAwaited(): boolean {
    return this.view.sheets.some((sheet) => sheet.state === "measuring" && sheet.elsewhere);
  }

  /**
   * Takes over what has come to the host's desk by another way than this screen; the newest is shown. A phone's pictures are measured as they
   * come, the shell's are measured from here. Another job, opened by the shell, clears the desk.
   */
  async refresh(from: "phone" | "shell"): Promise<void> {
    const state = await read(this.#client.api.desk.$get());
    const { job, pictures } = state;
    if (JSON.stringify(job) !== JSON.stringify(this.view.job)) return this.#opened(state);
    const known = new Set(this.view.sheets.map((sheet) => sheet.id));
    const fresh = pictures.filter((picture) => picture.from === from && !known.has(picture.id)).map<Sheet>(({ id, name, outcome }) => ({
      key: id, id, name, outcome, elsewhere: from === "phone", state: outcome ? "done" : from === "phone" ? "measuring" : "waiting",
    }));
    const heard = this.view.sheets.map((sheet) => {
      const outcome = sheet.elsewhere && sheet.state === "measuring" ? pictures.find((one) => one.id === sheet.id)?.outcome : undefined;
      return outcome ? { ...sheet, outcome, state: "done" as const } : sheet;
    });
    this.#set({ sheets: [...heard, ...fresh], selected: fresh.at(-1)?.key ?? this.view.selected });
    this.resume();
  }

  openSample(): Promise<void> {
    return this.#open(async () => this.#opened(await read(this.#client.api.desk.sample.$post())));
  }

  /** Opens a job from its file's text. A file with faults changes nothing but `jobFaults`. */
  openJob(text: string): Promise<void> {
    return this.#open(async () => {
      const answer = await read<OpenJobAnswer>(fetch("/api/desk/job", { method: "POST", body: text }));
      if (answer.opened) this.#opened(answer.desk);
      this.#set(answer.opened ? { jobFaults: [], jobWarnings: answer.warnings } : { jobFaults: answer.faults });
    });
  }

  /** Opens one job after the other; pictures on their way go to the one that is open still, pictures put in meanwhile wait for the new one. */
  #open(ask: () => Promise<void>): Promise<void> {
    return (this.#opening = this.#opening.then(async () => {
      try {
        await this.#sent();
        await ask();
      } catch (error) {
        this.#set({ fault: error as Error });
      }
    }));
  }

  /** Waits until no picture is on its way: it belongs to the job that is open still. */
  #sent(): Promise<void> {
    return new Promise((resolve) => {
      const look = () => {
        if (this.isSending()) return;
        forget();
        resolve();
      };
      const forget = this.subscribe(look);
      look();
    });
  }

  /** Takes over the desk after another job was opened; pictures of the one before that wait can be gone back to. */
  #opened(state: Desk): void {
    this.#receive(state);
    const { leftBehind } = state;
    if (leftBehind) this.#set({ notice: { text: (words) => words.leftBehind(leftBehind.job, leftBehind.waiting), undo: () => void this.#reopen() } });
  }

  async #reopen(): Promise<void> {
    try {
      this.#receive(await read(this.#client.api.desk.reopen.$post()));
    } catch (error) {
      this.#set({ fault: error as Error });
    }
  }

  #receive(state: Desk): void {
    const sheets = state.pictures.map<Sheet>((picture) => ({
      key: picture.id, id: picture.id, name: picture.name, outcome: picture.outcome, state: picture.outcome ? "done" : "waiting",
    }));
    this.#set({ loaded: true, job: state.job, sheets, selected: sheets[0]?.key ?? null, fault: null, notice: null, jobFaults: [], jobWarnings: [] });
    this.resume();
  }

  select(key: string): void {
    this.#set({ selected: key });
  }

  clearNotice(): void {
    this.#set({ notice: null, fault: null, jobFaults: [], jobWarnings: [] });
  }

  /** Says by a fault's code why something was not taken in. */
  refuse(code: string): void {
    this.#set({ fault: new HostFault(code, "", "") });
  }

  /** Puts pictures on the desk, that of the job being opened if one is; the first of them is shown. */
  async add(files: readonly File[]): Promise<void> {
    await this.#opening;
    const sheets = files.map<Sheet>((file) => ({ key: `new-${++this.#serial}`, name: file.name, state: "waiting", file }));
    if (sheets.length === 0) return;
    if (!this.view.job) return this.refuse("no-job");
    this.#set({ sheets: [...this.view.sheets, ...sheets], selected: sheets[0].key, notice: null });
    this.#sendOn();
    this.resume();
  }

  stop(): void {
    this.#stopper.abort();
    this.#set({ running: false });
  }

  /** Goes on with everything that waits; a failed picture is tried again only when asked for by `again`. */
  resume(): void {
    const waiting = this.view.sheets.filter(isWaiting).length;
    if (waiting === 0) return;
    if (!this.view.running) {
      this.#stopper = new AbortController();
      this.#set({ running: true, batch: { done: 0, all: waiting, startedAt: performance.now() } });
    } else {
      this.#set({ batch: { ...this.view.batch, all: this.view.batch.done + this.#working + waiting } });
    }
    while (this.#working < AT_ONCE && this.#startNext());
  }

  again(key: string): void {
    this.#change(key, { state: "waiting", outcome: undefined, fault: undefined });
    this.#sendOn();
    this.resume();
  }

  #startNext(): boolean {
    const next = this.view.sheets.find((sheet) => sheet.state === "waiting" && sheet.id);
    if (!next?.id || !this.view.running) return false;
    this.#working++;
    this.#change(next.key, { state: "measuring" });
    void this.#measure(next.key, next.id, this.#stopper.signal).finally(() => {
      this.#working--;
      if (!this.#startNext()) this.#rest();
    });
    return true;
  }

  /** Nothing is left to do. */
  #rest(): void {
    if (this.#working === 0 && this.#sending === 0 && !this.#stopper.signal.aborted) this.#set({ running: false });
  }

  async #measure(key: string, id: string, signal: AbortSignal): Promise<void> {
    try {
      const answer = await read(this.#client.api.pictures[":id"].check.$post({ param: { id } }, { init: { signal } }));
      this.#change(key, { outcome: answer.outcome, state: "done" });
      this.#set({ batch: { ...this.view.batch, done: this.view.batch.done + 1 } });
    } catch (error) {
      if (signal.aborted) this.#change(key, { state: "waiting" });
      else this.#change(key, { state: "failed", fault: error as Error });
    }
  }

  /** Sends what the host does not have yet; also while measuring is stopped. */
  #sendOn(): void {
    while (this.#sending < SENT_AT_ONCE) {
      const next = this.view.sheets.find((sheet) => sheet.state === "waiting" && !sheet.id && sheet.file);
      if (!next) return;
      this.#sending++;
      this.#change(next.key, { state: "sending" });
      void this.#send(next).finally(() => {
        this.#sending--;
        this.#sendOn();
        if (this.#working >= AT_ONCE || !this.#startNext()) this.#rest();
      });
    }
  }

  /** Sends a file; where the same picture lies here already, the new entry goes. */
  async #send({ key, name, file }: Sheet): Promise<void> {
    try {
      const { picture, already } = await read<{ picture: { id: string }; already: boolean }>(fetch(`/api/pictures?name=${encodeURIComponent(name)}`, { method: "POST", body: file }));
      const other = this.view.sheets.find((one) => one.id === picture.id && one.key !== key);
      if (!already || !other) return this.#change(key, { id: picture.id, state: "waiting", file: undefined });
      this.#set({
        sheets: this.view.sheets.filter((one) => one.key !== key),
        selected: this.view.selected === key ? other.key : this.view.selected,
        notice: { text: (words) => words.already(name) },
        batch: { ...this.view.batch, all: this.view.batch.all - 1 },
      });
    } catch (error) {
      this.#change(key, { state: "failed", fault: error as Error });
    }
  }

  /** Takes a picture off the desk. The host is told when the notice with its undo has gone. */
  async takeOff(key: string): Promise<void> {
    const at = this.view.sheets.findIndex((sheet) => sheet.key === key);
    const sheet = this.view.sheets[at];
    if (!sheet) return;
    const rest = this.view.sheets.filter((one) => one.key !== key);
    const undo = () => {
      const sheets = [...this.view.sheets];
      sheets.splice(Math.min(at, sheets.length), 0, sheet);
      this.#set({ sheets, selected: key, notice: null });
      if (sheet.id) void this.#client.api.pictures[":id"].back.$post({ param: { id: sheet.id } });
    };
    this.#set({ sheets: rest, selected: rest[Math.min(at, rest.length - 1)]?.key ?? null, notice: { text: (words) => words.takenOff(sheet.name), undo } });
    if (sheet.id) await read(this.#client.api.pictures[":id"].$delete({ param: { id: sheet.id } }));
  }
}

/** Not measured yet, whether the host has it already or not. */
const isWaiting = ({ state }: Sheet): boolean => state === "waiting" || state === "sending";
