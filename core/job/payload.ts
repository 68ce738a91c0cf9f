/** What a code on the sheet says. */
export interface Payload {
  readonly job?: string;
  readonly sheet?: string;
}

/** Fills a payload pattern such as "job={job};sheet={sheet}". */
export function writePayload(pattern: string, values: { job: string; sheet: string }): string {
  return pattern.replaceAll("{job}", values.job).replaceAll("{sheet}", values.sheet);
}

/**
 * Reads a code's text by its pattern: `{job}` and `{sheet}` stand for any text, all else must be the same to the letter.
 * Null where the text is not of the pattern (a code of something else).
 */
export function readPayload(pattern: string, text: string): Payload | null {
  const names: string[] = [];
  const source = pattern.replace(/\{(job|sheet)\}|[\\^$.*+?()[\]{}|]/g, (all, name?: string) => {
    if (!name) return `\\${all}`;
    names.push(name);
    return "(.+?)";
  });
  const match = new RegExp(`^${source}$`, "s").exec(text);
  if (!match) return null;
  const payload: { job?: string; sheet?: string } = {};
  names.forEach((name, i) => {
    payload[name as "job" | "sheet"] = match[i + 1];
  });
  return payload;
}
