/** A moment as people of a language write it: the hour for today, else the day. */
export function whenText(iso: string, language: string, now = new Date()): string {
  const at = new Date(iso);
  const today = at.toDateString() === now.toDateString();
  return new Intl.DateTimeFormat(language === "en" ? "en-GB" : language, today ? { timeStyle: "short" } : { dateStyle: "medium" }).format(at);
}
