export type Language = "en" | "de";

/** Decimals shown: micrometres for lengths, hundredths for mm/m. Every place that shows a figure rounds it here. */
export const DIGITS = { mm: 3, "mm/m": 2 } as const;
export type Unit = keyof typeof DIGITS;

/** A figure with the unit's decimals and the language's decimal sign; what rounds to zero has no sign. */
export function figure(value: number, unit: Unit, language: Language, { plus = false } = {}): string {
  return plain(value, DIGITS[unit], language, plus);
}

export function plain(value: number, digits: number, language: Language, plus = false): string {
  const size = Math.abs(value).toFixed(digits);
  const sign = Number(size) === 0 ? "" : value < 0 ? "-" : plus ? "+" : "";
  return sign + (language === "de" ? size.replace(".", ",") : size);
}

export function withU(value: number, U: number, unit: Unit, language: Language): string {
  return `${figure(value, unit, language, { plus: true })} \u00b1 ${figure(U, unit, language)} ${unit}`;
}
