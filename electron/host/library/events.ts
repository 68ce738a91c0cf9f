import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";

/** What each kind of event says beside its note. */
export interface EventDetails {
  readonly "tool-changed": Record<string, never>;
  readonly "pallet-changed": Record<string, never>;
  readonly restart: Record<string, never>;
  /** What was added to the cutter's settings, cutter frame; mm and mm/m. */
  readonly correction: { readonly x?: number; readonly y?: number; readonly rotation?: number; readonly scaleX?: number; readonly scaleY?: number };
  readonly "material-lot": { readonly lot: string };
  /** Relative humidity, per cent. */
  readonly humidity: { readonly percent: number };
  readonly note: Record<string, never>;
}

export type EventKind = keyof EventDetails;

interface EventOf<K extends EventKind> {
  readonly id: number;
  readonly runId: number;
  readonly kind: K;
  readonly detail: EventDetails[K];
  /** It happened before this sheet was cut; null where only the time is known. */
  readonly sheetNumber: number | null;
  /** ISO 8601, UTC. */
  readonly happenedAt: string;
  /** The tool put in, for "tool-changed". */
  readonly toolId: number | null;
  readonly who: string;
  readonly note: string;
}

/** Something that happened in a run and may show in its trend. */
export type RunEvent = { [K in EventKind]: EventOf<K> }[EventKind];

type Entered<E> = E extends EventOf<infer K> ? Pick<EventOf<K>, "runId" | "kind" | "detail"> & Partial<Pick<EventOf<K>, "sheetNumber" | "happenedAt" | "toolId" | "who" | "note">> : never;
export type NewEvent = Entered<RunEvent>;

/** What happened in the runs. */
export class Events {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  async add({ runId, kind, detail, sheetNumber = null, happenedAt, toolId = null, who = "", note = "" }: NewEvent): Promise<RunEvent> {
    const made_at = this.#context.now().toISOString();
    const { id } = await this.#context.db.insertInto("events").values({
      run_id: runId, kind, detail: JSON.stringify(detail), sheet_number: sheetNumber, happened_at: happenedAt ?? made_at, tool_id: toolId, who, note, made_at, deleted_at: null,
    }).returning("id").executeTakeFirstOrThrow();
    return this.get(id);
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<RunEvent> {
    const row = await this.#select().where("id", "=", id).executeTakeFirst();
    if (!row) throw notFound("event", id);
    return read(row);
  }

  /** Events of a run in order: by sheet where it is known, else by time. */
  async ofRun(runId: number): Promise<RunEvent[]> {
    const rows = await this.#select().where("run_id", "=", runId).orderBy("sheet_number", (o) => o.asc().nullsLast()).orderBy("happened_at").orderBy("id").execute();
    return rows.map(read);
  }

  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("event", id);
  }

  #select() {
    return this.#context.db.selectFrom("events").select(["id", "run_id as runId", "kind", "detail", "sheet_number as sheetNumber", "happened_at as happenedAt", "tool_id as toolId", "who", "note"])
      .where("deleted_at", "is", null);
  }
}

function read(row: Omit<RunEvent, "detail" | "kind"> & { kind: string; detail: string }): RunEvent {
  return { ...row, detail: JSON.parse(row.detail) as unknown } as RunEvent;
}
