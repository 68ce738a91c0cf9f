import type { CheckOutcome } from "../../core/check/record.ts";

export type SheetState = "waiting" | "sending" | "measuring" | "done" | "failed";

/** One picture of a sheet, from the moment it is dropped. */
export interface Sheet {
  /** Stable for the screen's list, also before the host has given an id. */
  readonly key: string;
  readonly name: string;
  readonly state: SheetState;
  /** The host's id, once the picture has been taken in. */
  readonly id?: string;
  readonly file?: File;
  readonly outcome?: CheckOutcome;
  readonly fault?: Error;
  /** It came by a phone: the host measures it without being asked by this screen. */
  readonly elsewhere?: boolean;
}

export type Standing = "in" | "out" | "unsure" | "refused" | "waiting" | "measuring" | "failed";

/** What the verdict band shows for a sheet. */
export function standing(sheet: Sheet): Standing {
  if (sheet.outcome) return sheet.outcome.record.verdict ?? "refused";
  if (sheet.state === "failed") return "failed";
  return sheet.state === "measuring" ? "measuring" : "waiting";
}
