import { UsageFault } from "./exit.ts";

/** A whole number given after an option. @throws UsageFault */
export function wholeNumber(text: string, option: string, least = 1, most = 1e9): number {
  const value = /^\d{1,10}$/.test(text) ? Number(text) : Number.NaN;
  if (value >= least && value <= most) return value;
  const range = most < 1e9 ? `from ${least} to ${most}` : `from ${least} on`;
  throw new UsageFault(`"${text}" after ${option} is not a whole number ${range}.`, `Give a whole number ${range}.`);
}

/** A number given after an option, above one and not above the other bound. @throws UsageFault */
export function decimalNumber(text: string, option: string, above = -Infinity, most = Infinity): number {
  const value = text.trim() === "" ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value > above && value <= most) return value;
  const bounds = [...(above > -Infinity ? [`above ${above}`] : []), ...(most < Infinity ? [`at most ${most}`] : [])].join(" and ");
  throw new UsageFault(`"${text}" after ${option} is not a number${bounds && ` ${bounds}`}.`, "Write decimals with a point.");
}

/** Reads what was given after an option; undefined where nothing was. */
export function optional<T>(text: string | undefined, read: (text: string) => T): T | undefined {
  return text === undefined ? undefined : read(text);
}
