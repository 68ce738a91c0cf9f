import type { CheckOutcome } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { AppFault } from "./fault.ts";
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
  readonly outcome?: CheckOutcome;
}

/** What lies on the desk: the open job and the pictures checked against it, in the order they came. */
export class Desk {
  job: Job | null = null;
  /** The sample lies here: it is shown, and no run is kept of it. */
  sample = false;
  readonly #pictures = new Map<string, DeskPicture>();
  readonly #paths = new Map<string, string>();
  readonly #gone = new Map<string, { picture: DeskPicture; path: string }>();
  /** Pictures of the records that are being looked at: shown like those on the desk, and not lying there. */
  readonly #lent = new Map<string, { picture: DeskPicture; path: string }>();

  /** Opens another job: the desk is cleared, since a verdict belongs to the job it was made with. */
  open(job: Job, sample = false): void {
    this.job = job;
    this.sample = sample;
    this.#pictures.clear();
    this.#paths.clear();
    this.#gone.clear();
  }

  pictures(): DeskPicture[] {
    return [...this.#pictures.values()];
  }

  /** Lays a picture on the desk; the same bytes a second time give the picture that is there already. */
  lay(shelved: ShelvedPicture, name: string, now: Date, from?: DeskPicture["from"]): { picture: DeskPicture; already: boolean } {
    const id = shelved.sha256.slice(0, 16);
    const there = this.#pictures.get(id);
    if (there) return { picture: there, already: true };
    const picture = { id, name, sha256: shelved.sha256, bytes: shelved.bytes, takenInAt: now.toISOString(), from };
    this.#pictures.set(id, picture);
    this.#paths.set(id, shelved.path);
    return { picture, already: false };
  }

  /** Lets a recorded picture be shown under its id; a picture on the desk is never replaced. */
  lend(picture: DeskPicture, path: string): void {
    if (!this.#pictures.has(picture.id)) this.#lent.set(picture.id, { picture, path });
  }

  /** @throws AppFault 404 when no such picture lies here. */
  picture(id: string): DeskPicture {
    const picture = this.#pictures.get(id) ?? this.#lent.get(id)?.picture;
    if (!picture) throw new AppFault(404, "no-picture", "That picture is no longer on the desk.", "Put the picture in again.");
    return picture;
  }

  pathOf(id: string): string {
    this.picture(id);
    return (this.#paths.get(id) ?? this.#lent.get(id)?.path) as string;
  }

  keep(id: string, outcome: CheckOutcome): DeskPicture {
    const picture = { ...this.picture(id), outcome };
    this.#pictures.set(id, picture);
    return picture;
  }

  /** Takes a picture off the desk; it can be put back while the job stays open. */
  takeOff(id: string): void {
    this.#gone.set(id, { picture: this.picture(id), path: this.pathOf(id) });
    this.#pictures.delete(id);
    this.#paths.delete(id);
  }

  putBack(id: string): DeskPicture {
    const gone = this.#gone.get(id);
    if (!gone) return this.picture(id);
    this.#gone.delete(id);
    this.#pictures.set(id, gone.picture);
    this.#paths.set(id, gone.path);
    return gone.picture;
  }
}
