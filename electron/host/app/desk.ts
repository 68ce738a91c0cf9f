import { existsSync } from "node:fs";
import type { CheckOutcome } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { AppFault } from "./fault.ts";
import type { Inbox } from "./inbox.ts";
import type { ShelvedPicture } from "./shelf.ts";

/** A picture on the desk and what is known of it. */
export interface DeskPicture {
  readonly id: string;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly takenInAt: string;
  /** A phone's picture is measured as it comes; what a screen puts in it also measures. */
  readonly from?: "screen" | "phone" | "shell";
  /** It waited when the program ended the last time. */
  readonly resumed?: true;
  readonly outcome?: CheckOutcome;
}

interface Lying {
  readonly picture: DeskPicture;
  readonly path: string;
}

/** A job that was closed by opening another one, with the pictures that had not been measured. */
interface Closed {
  readonly job: Job;
  readonly sample: boolean;
  readonly lying: readonly Lying[];
}

/** What lies on the desk: the open job and the pictures checked against it, in the order they came. What waits is kept in the inbox as well. */
export class Desk {
  job: Job | null = null;
  /** The sample lies here: it is shown, and no run is kept of it. */
  sample = false;
  readonly #inbox: Inbox | undefined;
  readonly #lying = new Map<string, Lying>();
  readonly #gone = new Map<string, Lying>();
  /** Pictures of the records that are being looked at: shown like those on the desk, and not lying there. */
  readonly #lent = new Map<string, Lying>();
  #closed: Closed | null = null;

  /** Begins with what was left in the inbox. */
  constructor(inbox?: Inbox) {
    this.#inbox = inbox;
    const left = inbox?.left();
    if (!left) return;
    this.job = left.job;
    this.sample = left.sample;
    for (const one of left.pictures) this.#lying.set(one.picture.id, one);
  }

  /** Opens another job: the desk is cleared, since a verdict belongs to the job it was made with. `reopen` undoes it. */
  open(job: Job, sample = false): void {
    const lying = [...this.#lying.values()];
    this.#closed = this.job && { job: this.job, sample: this.sample, lying };
    for (const { picture, path } of lying) this.#inbox?.remove(picture.id, path);
    this.#begin(job, sample, []);
  }

  /** How many pictures of the job before this one were not measured when it was closed, and its name; null where there were none. */
  leftBehind(): { readonly job: string; readonly waiting: number } | null {
    const waiting = this.#closed?.sample ? 0 : (this.#closed?.lying.filter(({ picture }) => !picture.outcome).length ?? 0);
    return this.#closed && waiting > 0 ? { job: this.#closed.job.name || this.#closed.job.id, waiting } : null;
  }

  /** Goes back to the job before, with its pictures. @throws AppFault 404 where there is none. */
  reopen(): void {
    const closed = this.#closed;
    if (!closed) throw new AppFault(404, "no-job", "No job is open.", "Open the sheet's job first.");
    for (const { picture, path } of this.#lying.values()) this.#inbox?.remove(picture.id, path);
    this.#closed = null;
    this.#begin(closed.job, closed.sample, closed.lying.filter(({ path }) => existsSync(path)));
  }

  #begin(job: Job, sample: boolean, lying: readonly Lying[]): void {
    this.job = job;
    this.sample = sample;
    this.#lying.clear();
    this.#gone.clear();
    this.#inbox?.openJob(job, sample);
    for (const one of lying) this.#put(one);
  }

  #put(one: Lying): void {
    this.#lying.set(one.picture.id, one);
    if (!one.picture.outcome) this.#inbox?.add(one.picture, one.path);
  }

  pictures(): DeskPicture[] {
    return [...this.#lying.values()].map(({ picture }) => picture);
  }

  /** Lays a picture on the desk; the same bytes a second time give the picture that is there already. */
  lay(shelved: ShelvedPicture, name: string, now: Date, from?: DeskPicture["from"]): { picture: DeskPicture; already: boolean } {
    const id = shelved.sha256.slice(0, 16);
    const there = this.#lying.get(id);
    if (there) return { picture: there.picture, already: true };
    const picture = { id, name, sha256: shelved.sha256, bytes: shelved.bytes, takenInAt: now.toISOString(), from };
    this.#put({ picture, path: shelved.path });
    return { picture, already: false };
  }

  /** Lets a recorded picture be shown under its id; a picture on the desk is never replaced. */
  lend(picture: DeskPicture, path: string): void {
    if (!this.#lying.has(picture.id)) this.#lent.set(picture.id, { picture, path });
  }

  /** @throws AppFault 404 when no such picture lies here. */
  picture(id: string): DeskPicture {
    return this.#find(id).picture;
  }

  pathOf(id: string): string {
    return this.#find(id).path;
  }

  /** Keeps what was measured of a picture; `path` is where the library keeps its file, if it does. */
  keep(id: string, outcome: CheckOutcome, path = this.pathOf(id)): DeskPicture {
    const before = this.#find(id);
    const picture = { ...before.picture, outcome };
    this.#lying.set(id, { picture, path });
    this.#inbox?.remove(id, path === before.path ? undefined : before.path);
    return picture;
  }

  /** Takes a picture off the desk; it can be put back while the job stays open. */
  takeOff(id: string): void {
    const one = this.#find(id);
    this.#gone.set(id, one);
    this.#lying.delete(id);
    this.#inbox?.remove(id, one.path);
  }

  putBack(id: string): DeskPicture {
    const gone = this.#gone.get(id);
    if (!gone) return this.picture(id);
    this.#gone.delete(id);
    this.#put(gone);
    return gone.picture;
  }

  #find(id: string): Lying {
    const found = this.#lying.get(id) ?? this.#lent.get(id);
    if (!found) throw new AppFault(404, "no-picture", "That picture is no longer on the desk.", "Put the picture in again.");
    return found;
  }
}
