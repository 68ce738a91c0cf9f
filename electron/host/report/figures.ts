export type Language = "en" | "de";

/** How a report writes: its words, and the sign between units and decimals. */
export interface Manner {
  readonly language: Language;
  readonly decimal: "." | ",";
}

/** The decimal sign that a language uses. */
export const DECIMAL: Readonly<Record<Language, Manner["decimal"]>> = { en: ".", de: "," };

/** Decimals shown: micrometres for lengths, hundredths for mm/m. Every place that shows a figure rounds it here. */
export const DIGITS = { mm: 3, "mm/m": 2 } as const;
export type Unit = keyof typeof DIGITS;

/** A figure with the unit's decimals and the chosen decimal sign; what rounds to zero has no sign. */
export function figure(value: number, unit: Unit, manner: Manner, { plus = false } = {}): string {
  return plain(value, DIGITS[unit], manner, plus);
}

export function plain(value: number, digits: number, { decimal }: Manner, plus = false): string {
  const size = Math.abs(value).toFixed(digits);
  const sign = Number(size) === 0 ? "" : value < 0 ? "-" : plus ? "+" : "";
  return sign + size.replace(".", decimal);
}

export function withU(value: number, U: number, unit: Unit, manner: Manner): string {
  return `${figure(value, unit, manner, { plus: true })} \u00b1 ${figure(U, unit, manner)} ${unit}`;
}
