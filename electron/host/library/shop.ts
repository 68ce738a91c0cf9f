import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";

/** What the shop has chosen, with its default. */
export interface ShopSettings {
  /** Leave pictures where they are, or keep a copy of each beside the library. */
  readonly pictures: "in-place" | "copy";
  /** What sampling advice goes by: the cost of a bad sheet over that of a check, and sudden faults in 1,000 sheets. */
  readonly sampling: { readonly badOverCheck: number; readonly faultsPer1000: number };
  /** The folder whose pictures are taken in while the program runs; null for none. */
  readonly hotFolder: HotFolderSetting | null;
}

export interface HotFolderSetting {
  readonly folder: string;
  /** Ids of the job files that may be in the stack; empty for all jobs of the library. */
  readonly jobs: readonly string[];
  /** Numbers for sheets that carry none. */
  readonly numbering: { readonly first: number; readonly step: number } | null;
}

const DEFAULTS: ShopSettings = { pictures: "in-place", sampling: { badOverCheck: 5, faultsPer1000: 1 }, hotFolder: null };

/** The shop's choices that belong to the records. */
export class Settings {
  readonly #context: Context;

  constructor(context: Context) {
    this.#context = context;
  }

  async get<K extends keyof ShopSettings>(key: K): Promise<ShopSettings[K]> {
    const row = await this.#context.db.selectFrom("settings").select("json").where("key", "=", key).executeTakeFirst();
    return row ? (JSON.parse(row.json) as ShopSettings[K]) : DEFAULTS[key];
  }

  async set<K extends keyof ShopSettings>(key: K, value: ShopSettings[K]): Promise<void> {
    const json = JSON.stringify(value);
    await this.#context.db.insertInto("settings").values({ key, json }).onConflict((c) => c.column("key").doUpdateSet({ json })).execute();
  }
}

/** A named document of the shop's: what `content` is, its kind knows. */
export interface Named<T> {
  readonly id: number;
  readonly name: string;
  readonly content: T;
  readonly madeAt: string;
}

/** Named documents of one kind. A name is there once; saving under it again replaces the content. */
class Shelf<T> {
  readonly #context: Context;
  readonly #deletions: Deletions;
  readonly #table: "presets" | "profiles";
  readonly #subject: "preset" | "profile";

  constructor(context: Context, deletions: Deletions, subject: "preset" | "profile") {
    this.#context = context;
    this.#deletions = deletions;
    this.#subject = subject;
    this.#table = `${subject}s`;
  }

  async save(name: string, content: T): Promise<Named<T>> {
    const json = JSON.stringify(content);
    const made_at = this.#context.now().toISOString();
    const { id } = await this.#context.db.insertInto(this.#table).values({ name, json, made_at, deleted_at: null })
      .onConflict((c) => c.column("name").where("deleted_at", "is", null).doUpdateSet({ json, made_at })).returning("id").executeTakeFirstOrThrow();
    return this.get(id);
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<Named<T>> {
    const found = (await this.list()).find((n) => n.id === id);
    if (!found) throw notFound(this.#subject, id);
    return found;
  }

  async byName(name: string): Promise<Named<T> | null> {
    return (await this.list()).find((n) => n.name === name) ?? null;
  }

  async list(): Promise<Named<T>[]> {
    const rows = await this.#context.db.selectFrom(this.#table).selectAll().where("deleted_at", "is", null).orderBy("name").execute();
    return rows.map((r) => ({ id: r.id, name: r.name, content: JSON.parse(r.json) as T, madeAt: r.made_at }));
  }

  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete(this.#subject, id);
  }
}

/** Named import presets: how drawings of one source become jobs. */
export class Presets extends Shelf<unknown> {
  constructor(context: Context, deletions: Deletions) {
    super(context, deletions, "preset");
  }
}

/** Camera and scanner profiles. */
export class Profiles extends Shelf<unknown> {
  constructor(context: Context, deletions: Deletions) {
    super(context, deletions, "profile");
  }
}
