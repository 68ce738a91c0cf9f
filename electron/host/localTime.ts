/** Local time without a zone (ISO 8601), as cameras write capture times: to the second, or to the millisecond. */
export function localTime(date: Date, to: "second" | "millisecond" = "second"): string {
  return new Date(date.getTime() - date.getTimezoneOffset() * 60_000).toISOString().slice(0, to === "second" ? 19 : 23);
}
