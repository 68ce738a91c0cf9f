import type { RunEvent } from "../library/events.ts";
import type { Series } from "../library/series.ts";
import { localTime } from "../localTime.ts";

/** An event with the first data row (from 1) after it; null where no row has come since. */
export interface PlacedEvent {
  readonly event: RunEvent;
  readonly at: number | null;
}

/** Where events stand among the rows of a run: by the sheet that they came before, else by their time. */
export function placeEvents(events: readonly RunEvent[], { sheetNumber, takenAt }: Pick<Series, "sheetNumber" | "takenAt">): PlacedEvent[] {
  return events.map((event) => {
    const before = event.sheetNumber;
    const row = before === null
      ? takenAt.findIndex((taken) => taken > localTime(new Date(event.happenedAt)))
      : sheetNumber.findIndex((n) => n !== null && n >= before);
    return { event, at: row < 0 ? null : row + 1 };
  });
}
