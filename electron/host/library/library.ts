import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { Checks } from "./checks.ts";
import { openDatabase, type Connection, type Opened } from "./connection.ts";
import { writeBackup } from "./backup.ts";
import { Deletions } from "./deletions.ts";
import { Dispositions } from "./dispositions.ts";
import { Drafts } from "./drafts.ts";
import { Events } from "./events.ts";
import { explained, explainedLater, LibraryFault } from "./faults.ts";
import { Jobs } from "./jobs.ts";
import { migrate } from "./migrate.ts";
import { Pictures } from "./pictures.ts";
import { BACKUPS, DATABASE } from "./place.ts";
import { Runs } from "./runs.ts";
import { Presets, Profiles, Settings } from "./shop.ts";
import { Tools } from "./tools.ts";
import { Tray } from "./tray.ts";

/** What every subject of the library works with. */
export interface Context {
  readonly db: Connection;
  readonly folder: string;
  readonly now: () => Date;
}

export interface LibraryOptions {
  /** The clock; for tests. */
  readonly now?: () => Date;
  /** Make the library where there is none (default). False: a missing one is a fault. */
  readonly create?: boolean;
}

/** The shop's records. One class per subject, all over the same database. */
export class Library {
  readonly folder: string;
  readonly jobs: Jobs;
  readonly drafts: Drafts;
  readonly runs: Runs;
  readonly checks: Checks;
  readonly pictures: Pictures;
  readonly events: Events;
  readonly tools: Tools;
  readonly dispositions: Dispositions;
  readonly tray: Tray;
  readonly presets: Presets;
  readonly profiles: Profiles;
  readonly settings: Settings;
  readonly deletions: Deletions;
  /** Backups that opening made before migrations. */
  readonly backups: readonly string[];
  readonly #opened: Opened;

  constructor(opened: Opened, folder: string, now: () => Date, backups: readonly string[]) {
    const context: Context = { db: opened.db, folder, now };
    this.folder = folder;
    this.#opened = opened;
    this.backups = backups;
    this.settings = new Settings(context);
    this.deletions = new Deletions(context);
    this.pictures = new Pictures(context, this.settings);
    this.jobs = new Jobs(context, this.deletions);
    this.drafts = new Drafts(context, this.jobs);
    this.tools = new Tools(context, this.deletions);
    this.runs = new Runs(context, this.deletions);
    this.checks = new Checks(context, this.deletions);
    this.events = new Events(context, this.deletions);
    this.dispositions = new Dispositions(context);
    this.tray = new Tray(context, this.deletions);
    this.presets = new Presets(context, this.deletions);
    this.profiles = new Profiles(context, this.deletions);
  }

  /** Path of the database file. */
  get file(): string {
    return this.#opened.file;
  }

  /** The database below the subjects, for verifying and exporting. Not for the screens. */
  get opened(): Opened {
    return this.#opened;
  }

  /** Another one after anything was written, by whomever: what was worked out from the records holds while it stays the same. */
  get stamp(): string {
    const { raw } = this.#opened;
    return `${raw.pragma("data_version", { simple: true })}:${raw.prepare("select total_changes()").pluck().get()}`;
  }

  /**
   * Copies the database while it is in use, to `to` or into the library's own backups; returns the path.
   * @throws LibraryFault
   */
  async backup(to?: string): Promise<string> {
    if (to) return writeBackup(this.#opened, to);
    const folder = join(this.folder, BACKUPS);
    explained(folder, () => mkdirSync(folder, { recursive: true }));
    return writeBackup(this.#opened, join(folder, `${this.#stamp()}.sqlite`));
  }

  async close(): Promise<void> {
    await this.#opened.db.destroy();
    if (this.#opened.raw.open) this.#opened.raw.close();
  }

  #stamp(): string {
    return new Date().toISOString().replace(/[:.]/g, "-");
  }
}

/**
 * Opens the library in `folder`, making it where there is none, and brings it to the newest form (a backup is made before each migration).
 * @throws LibraryFault
 */
export async function openLibrary(folder: string, { now = () => new Date(), create = true }: LibraryOptions = {}): Promise<Library> {
  const file = join(folder, DATABASE);
  if (!create && !existsSync(file)) {
    throw new LibraryFault("missing", `There is no library in this folder: ${folder}.`, "Name the folder of the library, or take pictures in first.");
  }
  explained(folder, () => mkdirSync(folder, { recursive: true }));
  const opened = openDatabase(file, folder);
  try {
    const backups = await explainedLater(file, () => migrate(opened, folder));
    return new Library(opened, folder, now, backups);
  } catch (error) {
    opened.raw.close();
    throw error;
  }
}
