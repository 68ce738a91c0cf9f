export type Language = "en" | "de";

/** How a report writes: its words, its unit of length, and the sign between units and decimals. */
export interface Manner {
  readonly language: Language;
  readonly units: "mm" | "inch";
  readonly decimal: "." | ",";
}

/** The decimal sign that a language uses. */
export const DECIMAL: Readonly<Record<Language, Manner["decimal"]>> = { en: ".", de: "," };

/** Units of the records. A length is shown in the shop's unit; a rate has no unit of length, so inches change nothing. */
export type Unit = "mm" | "mm/m";

const MM_PER_INCH = 25.4;

/** Decimals shown: micrometres or ten thousandths of an inch for lengths, hundredths for mm/m. Every place that shows a figure rounds it here. */
export function digitsOf(unit: Unit, { units }: Pick<Manner, "units">): number {
  return unit === "mm/m" ? 2 : units === "inch" ? 4 : 3;
}

/** How the unit is called. */
export function unitName(unit: Unit, { units }: Pick<Manner, "units">): string {
  return unit === "mm" && units === "inch" ? "in" : unit;
}

/** A value in the unit that is shown. */
export function converted(value: number, unit: Unit, { units }: Pick<Manner, "units">): number {
  return unit === "mm" && units === "inch" ? value / MM_PER_INCH : value;
}

/** A figure with the unit's decimals and the chosen decimal sign; what rounds to zero has no sign. */
export function figure(value: number, unit: Unit, manner: Manner, { plus = false } = {}): string {
  return plain(converted(value, unit, manner), digitsOf(unit, manner), manner, plus);
}

/** A coordinate in mm: one decimal, two in inches. */
export function place(mm: number, manner: Manner): string {
  return plain(converted(mm, "mm", manner), manner.units === "inch" ? 2 : 1, manner);
}

/** A limit, with the decimals that it was given with; in inches, with those of a figure. */
export function limitFigure(limit: number, unit: Unit, manner: Manner): string {
  if (unit === "mm" && manner.units === "inch") return figure(limit, unit, manner);
  return plain(limit, String(limit).split(".")[1]?.length ?? 0, manner);
}

/** A number with so many decimals; what is rounded to zero has no sign, `plus` gives the others theirs. */
export function plain(value: number, digits: number, { decimal }: Pick<Manner, "decimal">, plus = false): string {
  const size = Math.abs(value).toFixed(digits);
  const sign = Number(size) === 0 ? "" : value < 0 ? "-" : plus ? "+" : "";
  return sign + size.replace(".", decimal);
}

/** A value with its sign, its U and its unit. */
export function withU(value: number, U: number, unit: Unit, manner: Manner): string {
  return `${figure(value, unit, manner, { plus: true })} \u00b1 ${figure(U, unit, manner)} ${unitName(unit, manner)}`;
}
