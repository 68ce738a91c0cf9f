import type { Settings } from "../../electron/host/app/choices.ts";

/** How figures are written: the shop's unit and decimal sign. All values come in mm, mm/m or plain numbers. */
export interface Figures {
  readonly lengthUnit: string;
  readonly decimal: "." | ",";
  /** A length without its unit: 3 decimals in mm, 4 in inches. */
  length(mm: number, signed?: boolean): string;
  /** A coordinate: 1 decimal in mm, 2 in inches. */
  place(mm: number): string;
  /** mm per metre, 2 decimals. The ratio has no unit of length, so inches change nothing. */
  rate(mmPerM: number, signed?: boolean): string;
  /** The angle that a rate stands for, in degrees, with its sign. */
  degrees(mmPerM: number, signed?: boolean): string;
  percent(share: number): string;
  /** A probability: never 0 or 100 %, since no measurement is that sure. */
  chance(p: number): string;
  number(value: number, decimals: number): string;
  /** A length in the shop's unit back to mm. */
  toMm(value: number): number;
  fromMm(mm: number): number;
}

export const MM_PER_INCH = 25.4;

/** @param language the language in use; it gives the decimal sign where the shop has not chosen one. */
export function figuresFor(settings: Pick<Settings, "units" | "decimal">, language: string): Figures {
  const decimal = decimalSign(settings.decimal, language);
  const inch = settings.units === "inch";
  const number = (value: number, decimals: number, signed = false) => write(value, decimals, decimal, signed);
  const percent = (share: number) => `${number(100 * share, share > 0.995 || share < 0.005 ? 2 : 1)} %`;
  const fromMm = (mm: number) => (inch ? mm / MM_PER_INCH : mm);
  return {
    decimal,
    lengthUnit: inch ? "in" : "mm",
    length: (mm, signed) => number(fromMm(mm), inch ? 4 : 3, signed),
    place: (mm) => number(fromMm(mm), inch ? 2 : 1),
    rate: (value, signed) => number(value, 2, signed),
    degrees: (value, signed) => `${number((Math.atan(value / 1000) * 180) / Math.PI, 3, signed)}°`,
    percent,
    chance: (p) => (p > 0.9999 ? `> ${percent(0.9999)}` : p < 0.0001 ? `< ${percent(0.0001)}` : percent(p)),
    number: (value, decimals) => number(value, decimals),
    toMm: (value) => (inch ? value * MM_PER_INCH : value),
    fromMm,
  };
}

function decimalSign(choice: Settings["decimal"], language: string): "." | "," {
  if (choice === "point") return ".";
  if (choice === "comma") return ",";
  return new Intl.NumberFormat(language).format(0.5).includes(",") ? "," : ".";
}

/** Fixed decimals with a true minus sign; a value that rounds to zero carries no sign. */
function write(value: number, decimals: number, decimal: string, signed: boolean): string {
  if (!Number.isFinite(value)) return "–";
  const digits = Math.abs(value).toFixed(decimals).replace(".", decimal);
  const zero = Number(Math.abs(value).toFixed(decimals)) === 0;
  const sign = zero ? "" : value < 0 ? "−" : signed ? "+" : "";
  return sign + digits;
}
