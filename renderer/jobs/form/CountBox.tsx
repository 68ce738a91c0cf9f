import { useWords } from "../../settings/useSettings.tsx";
import { NumberBox } from "./NumberBox.tsx";

interface Props {
  readonly label: string;
  readonly value: number;
  readonly onChange: (value: number) => void;
  /** Nought, where that is one (default: not). */
  readonly fromZero?: boolean;
  readonly most?: number;
  readonly text?: string;
}

/** How many: a whole number, taken as soon as it is one. */
export function CountBox({ label, value, onChange, fromZero = false, most = Infinity, text }: Props) {
  const w = useWords().jobs.edit;
  const faultOf = (typed: number) => (!Number.isInteger(typed) ? w.notWhole : typed > most ? w.tooMany(String(most)) : null);
  return <NumberBox label={label} value={value} onChange={(typed) => typed !== undefined && onChange(typed)} decimals={0} range={fromZero ? "nonnegative" : "positive"} text={text} faultOf={faultOf} />;
}
