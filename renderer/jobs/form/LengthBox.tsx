import { useShop } from "../../settings/useSettings.tsx";
import { NumberBox } from "./NumberBox.tsx";

interface Props {
  readonly label: string;
  /** mm, whatever the shop's unit is. */
  readonly value: number | undefined;
  readonly onChange: (mm: number | undefined) => void;
  readonly text?: string;
  readonly step?: number;
  readonly range?: "positive" | "nonnegative" | "any";
  readonly optional?: boolean;
}

/** A length in the shop's unit. What is not typed anew keeps its value in mm to the last digit. */
export function LengthBox({ value, onChange, step = 1, ...rest }: Props) {
  const { figures, settings } = useShop();
  const inch = settings.units === "inch";
  const toMm = (v: number) => Number(figures.toMm(v).toFixed(6));
  return (
    <NumberBox {...rest} unit={figures.lengthUnit} decimals={inch ? 5 : 4} step={inch ? step / 20 : step}
      value={value === undefined ? undefined : figures.fromMm(value)} onChange={(v) => onChange(v === undefined ? undefined : toMm(v))} />
  );
}

/** A length that has to be there. */
export function GivenLength({ onChange, ...rest }: Omit<Props, "onChange" | "optional"> & { readonly onChange: (mm: number) => void }) {
  return <LengthBox {...rest} onChange={(v) => v !== undefined && onChange(v)} />;
}
