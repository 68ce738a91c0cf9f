import { useState } from "react";
import { Button, Checkbox, CheckboxGroup, Label } from "react-aria-components";
import { type Exported, MOST_PAGES, OVERLAY_PARTS } from "../../../core/job/export/overlay.ts";
import type { OverlayPart } from "../../../core/job/layerNames.ts";
import { Fault } from "../../frame/Fault.tsx";
import { Icon } from "../../frame/Icon.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { NumberBox } from "../form/NumberBox.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { saveFile } from "../saveFile.ts";
import type { OutFormat } from "../worker/protocol.ts";
import { Stopped, useWork } from "../worker/work.ts";
import type { JobDoc } from "./useJobDoc.ts";

const TYPES: Readonly<Record<OutFormat, string>> = { pdf: "application/pdf", svg: "image/svg+xml", dxf: "image/vnd.dxf" };
const FORMATS: readonly OutFormat[] = ["pdf", "svg", "dxf"];

/** The job out again: an overlay for the shop's own files, and numbered codes for variable printing. */
export function OutPage({ doc }: { doc: JobDoc }) {
  const { words } = useShop();
  const w = words.jobs.out;
  const sentence = useSentence();
  const { job } = doc;
  const work = useWork();
  const [parts, setParts] = useState<readonly OverlayPart[]>(["marks", "codes"]);
  const [sheet, setSheet] = useState("");
  const [from, setFrom] = useState(1);
  const [count, setCount] = useState(100);
  const [digits, setDigits] = useState(4);
  const [marks, setMarks] = useState(false);
  const [busy, setBusy] = useState(false);
  const [said, setSaid] = useState<readonly string[]>([]);
  const [refusal, setRefusal] = useState("");
  const [fault, setFault] = useState<Error | null>(null);

  const make = async (name: string, type: string, run: () => Promise<Exported<BlobPart>>) => {
    setBusy(true);
    setSaid([]);
    setRefusal("");
    setFault(null);
    try {
      const made = await run();
      if (!made.ok) return setRefusal(`${sentence(made.reason)} ${sentence(made.hint)}`);
      saveFile(name, made.file, type);
      setSaid([w.made(name), ...made.notes.map(sentence)]);
    } catch (error) {
      if (!(error instanceof Stopped)) setFault(error as Error);
    } finally {
      setBusy(false);
    }
  };
  const whole = (set: (n: number) => void, most: number) => (v: number | undefined) => v !== undefined && Number.isInteger(v) && v <= most && set(v);

  return (
    <div className="page out">
      <p className="note">{w.text}</p>
      {said.length > 0 && <div className="notice" role="status"><span>{said.join(" ")}</span></div>}
      {refusal && <p className="fault" role="alert">{refusal}</p>}
      {fault && <Fault error={fault} />}
      {busy && <div className="buttons"><span role="status" className="note">{w.making}</span><Button className="button" onPress={() => work.stop()}>{words.common.stop}</Button></div>}
      <CheckboxGroup className="choice" value={[...parts]} onChange={(v) => setParts(OVERLAY_PARTS.filter((p) => v.includes(p)))}>
        <Label>{w.parts}</Label>
        <div className="out-parts">{OVERLAY_PARTS.map((part) => <Checkbox key={part} value={part} className="check-option"><span className="check-box" aria-hidden="true" />{w.part[part]}</Checkbox>)}</div>
      </CheckboxGroup>
      {parts.some((p) => p === "cuts" || p === "creases") && <p className="warnings">{w.warning}</p>}
      {job.codes.length > 0 && parts.includes("codes") && <TextBox label={w.sheet} text={w.sheetText} value={sheet} onChange={setSheet} longest={20} />}
      <div className="buttons">
        {FORMATS.map((format) => (
          <Button key={format} className="button" isDisabled={busy || parts.length === 0} onPress={() => void make(`${job.id}.${format}`, TYPES[format], () =>
            work.ask("overlay", { job, format, options: { parts, ...(sheet !== "" && { sheet }) } }))}><Icon name="save" />{w.save(format.toUpperCase())}</Button>
        ))}
      </div>
      <h2>{w.numbered}</h2>
      <p className="note">{w.numberedText}</p>
      {job.codes.length === 0 ? <p>{w.noCode}</p> : (
        <>
          <div className="fields two out-numbers">
            <NumberBox label={w.first} value={from} decimals={0} range="nonnegative" onChange={whole(setFrom, 1e9)} />
            <NumberBox label={w.count} value={count} decimals={0} text={w.tooMany(String(MOST_PAGES))} onChange={whole(setCount, MOST_PAGES)} />
            <NumberBox label={w.digits} text={w.digitsText} value={digits} decimals={0} range="nonnegative" onChange={whole(setDigits, 9)} />
          </div>
          <Checkbox className="check-option" isSelected={marks} onChange={setMarks}><span className="check-box" aria-hidden="true" />{w.withMarks}</Checkbox>
          <div className="buttons">
            <Button className="button" isDisabled={busy} onPress={() => void make(`${job.id}-${from}-${from + count - 1}.pdf`, TYPES.pdf, () => work.ask("numbered", { job, from, count, digits, marks }))}>
              <Icon name="save" />{w.saveNumbered}
            </Button>
          </div>
        </>
      )}
    </div>
  );
}
