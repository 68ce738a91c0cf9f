import type { ReactNode } from "react";
import { Label, Radio, RadioGroup } from "react-aria-components";

interface Props<T extends string> {
  readonly label: string;
  /** Shown only to screen readers, where what stands around says it already. */
  readonly quiet?: boolean;
  readonly value: T | null;
  readonly onChange: (value: T) => void;
  readonly options: readonly (readonly [T, ReactNode])[];
  readonly className?: string;
  /** One of the options has come into focus. */
  readonly onFocus?: () => void;
}

/** One of a few, all in sight. */
export function Choice<T extends string>({ label, quiet = false, value, onChange, options, className = "", onFocus }: Props<T>) {
  return (
    <RadioGroup className={`choice ${className}`} value={value} onChange={(v) => onChange(v as T)} aria-label={quiet ? label : undefined} orientation="horizontal" onFocus={onFocus}>
      {!quiet && <Label>{label}</Label>}
      <div className="choice-options">
        {options.map(([name, text]) => <Radio key={name} value={name} className="choice-option">{text}</Radio>)}
      </div>
    </RadioGroup>
  );
}
