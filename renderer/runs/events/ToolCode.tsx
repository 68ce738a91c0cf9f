import { useState } from "react";
import { Button, FileTrigger, Input, Label, Text, TextField } from "react-aria-components";
import { read } from "../../frame/client.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useWords } from "../../settings/useSettings.tsx";

/** The identity of a blade or tool: typed, scanned into the field, or read from a photo of the code on it. */
export function ToolCode() {
  const words = useWords();
  const w = words.runs.events;
  const [code, setCode] = useState("");
  const [fault, setFault] = useState<Error | null>(null);
  const [none, setNone] = useState(false);
  const fromPhoto = async (files: FileList | null) => {
    if (!files?.[0]) return;
    try {
      const { code: found } = await read<{ code: string | null }>(fetch("/api/records/tools/code", { method: "POST", body: files[0] }));
      setFault(null);
      setNone(found === null);
      if (found !== null) setCode(found);
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <div className="field">
      <TextField className="field" name="code" value={code} onChange={setCode}>
        <Label>{w.tool}</Label><Input maxLength={120} /><Text slot="description" className="note">{w.toolHelp}</Text>
      </TextField>
      <FileTrigger acceptedFileTypes={["image/*"]} onSelect={fromPhoto}><Button className="button">{w.fromPhoto}</Button></FileTrigger>
      {none && <p className="warnings" role="status">{w.noCode}</p>}
      {fault && <Fault error={fault} />}
    </div>
  );
}
