import { FieldError, Input, Label, Text, TextField } from "react-aria-components";

interface Props {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly text?: string;
  readonly fault?: string | null;
  readonly longest?: number;
  readonly fixed?: boolean;
}

/** A line of text with its label and, where needed, what it is for. */
export function TextBox({ label, value, onChange, text, fault, longest = 120, fixed = false }: Props) {
  return (
    <TextField className="number text" value={value} onChange={onChange} isInvalid={Boolean(fault)} isReadOnly={fixed}>
      <Label>{label}</Label>
      <Input maxLength={longest} autoComplete="off" spellCheck="false" />
      {text && <Text slot="description" className="note">{text}</Text>}
      {fault && <FieldError className="field-fault">{fault}</FieldError>}
    </TextField>
  );
}
