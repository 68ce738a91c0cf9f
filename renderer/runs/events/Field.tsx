import { Input, Label, Text, TextField } from "react-aria-components";

interface Props {
  readonly name: string;
  readonly label: string;
  /** At first; typed over by the reader. */
  readonly value?: string;
  readonly help?: string;
  readonly required?: boolean;
  readonly numeric?: boolean;
  readonly wide?: boolean;
  readonly longest?: number;
}

/** A field of a form that is read when the form is sent. */
export function Field({ name, label, value = "", help, required, numeric, wide, longest = 120 }: Props) {
  return (
    <TextField className={wide ? "field" : "field narrow"} name={name} defaultValue={value} isRequired={required} inputMode={numeric ? "decimal" : "text"}>
      <Label>{label}</Label><Input maxLength={longest} />{help && <Text slot="description" className="note">{help}</Text>}
    </TextField>
  );
}
