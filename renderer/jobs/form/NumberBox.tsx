import { type KeyboardEvent, useEffect, useState } from "react";
import { FieldError, Input, Label, Text, TextField } from "react-aria-components";
import { useShop } from "../../settings/useSettings.tsx";

interface Props {
  readonly label: string;
  /** In the unit that is shown. */
  readonly value: number | undefined;
  readonly onChange: (value: number | undefined) => void;
  readonly unit?: string;
  readonly text?: string;
  readonly decimals?: number;
  /** What an arrow key adds; with Shift a tenth of it. */
  readonly step?: number;
  readonly range?: "positive" | "nonnegative" | "any";
  /** May be left empty. */
  readonly optional?: boolean;
  /** What else is wrong with a number, in words. */
  readonly faultOf?: (value: number) => string | null;
}

/** A number with its unit: taken as soon as it is a good one, written tidily when left. Point and comma both part decimals. */
export function NumberBox({ label, value, onChange, unit, text, decimals = 4, step = 1, range = "positive", optional = false, faultOf }: Props) {
  const { words, figures } = useShop();
  const w = words.jobs.edit;
  const [draft, setDraft] = useState<string | null>(null);
  const tidy = (v: number | undefined) => (v === undefined ? "" : String(Number(v.toFixed(decimals))).replace(".", figures.decimal).replace("-", "−"));
  const shown = draft ?? tidy(value);
  const faultIn = (typed: string): string | null => {
    const kind = rangeFault(typed, range, optional);
    const number = parse(typed);
    return kind ? w[kind] : number === undefined ? null : (faultOf?.(number) ?? null);
  };
  const fault = draft === null ? null : faultIn(draft);
  // A value changed from elsewhere (undo, a drag) is shown, unless it is what was just typed.
  useEffect(() => setDraft((now) => (now !== null && parse(now) === value ? now : null)), [value]);

  const type = (typed: string) => {
    setDraft(typed);
    if (faultIn(typed) === null) onChange(parse(typed));
  };
  const key = (event: KeyboardEvent) => {
    const way = event.key === "ArrowUp" ? 1 : event.key === "ArrowDown" ? -1 : 0;
    if (way === 0 || value === undefined) return;
    event.preventDefault();
    const next = Number((value + way * step * (event.shiftKey ? 0.1 : 1)).toFixed(decimals));
    if (faultIn(String(next)) === null) onChange(next);
  };
  return (
    <TextField className="number" value={shown} onChange={type} isInvalid={fault !== null} onKeyDown={key} onBlur={() => fault === null && setDraft(null)}>
      <Label>{label}</Label>
      <div className="number-box">
        <Input inputMode="decimal" autoComplete="off" placeholder={optional ? w.optional : undefined} />
        {unit && <span className="number-unit" aria-hidden="true">{unit}</span>}
      </div>
      {text && <Text slot="description" className="note">{text}</Text>}
      {fault && <FieldError className="field-fault">{fault}</FieldError>}
    </TextField>
  );
}

function parse(text: string): number | undefined {
  const plain = text.trim().replace("−", "-").replace(",", ".");
  return plain === "" ? undefined : Number(plain);
}

function rangeFault(text: string, range: Props["range"], optional: boolean): "notNumber" | "notPositive" | "negative" | null {
  const value = parse(text);
  if (value === undefined) return optional ? null : "notNumber";
  if (!Number.isFinite(value)) return "notNumber";
  if (range === "positive" && value <= 0) return "notPositive";
  return range === "nonnegative" && value < 0 ? "negative" : null;
}
