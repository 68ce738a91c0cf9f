import { useState } from "react";
import { Button, Checkbox, CheckboxGroup, Label } from "react-aria-components";
import { type Exported, MOST_PAGES, OVERLAY_PARTS } from "../../../core/job/export/overlay.ts";
import type { OverlayPart } from "../../../core/job/layerNames.ts";
import type { Job } from "../../../core/job/schema.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { CountBox } from "../form/CountBox.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { saveFile } from "../../frame/saveFile.ts";
import { AskingState } from "../worker/AskingState.tsx";
import type { OutFormat } from "../worker/protocol.ts";
import { useAsking } from "../worker/useAsking.ts";
import { useWork, type Work } from "../worker/work.ts";
import type { JobDoc } from "./useJobDoc.ts";

const TYPES: Readonly<Record<OutFormat, string>> = { pdf: "application/pdf", svg: "image/svg+xml", dxf: "image/vnd.dxf" };
const FORMATS: readonly OutFormat[] = ["pdf", "svg", "dxf"];

/** The job out again: an overlay for the shop's own files, and numbered codes for variable printing. */
export function OutPage({ doc: { job } }: { doc: JobDoc }) {
  const w = useWords().jobs.out;
  const sentence = useSentence();
  const work = useWork();
  const asking = useAsking();
  const [said, setSaid] = useState<readonly string[]>([]);
  const make: Making["make"] = (name, type, run) => {
    setSaid([]);
    void asking.ask<Extract<Exported<BlobPart>, { ok: true }>>(run, (made) => {
      if (!made) return;
      saveFile(name, made.file, type);
      setSaid([w.made(name), ...made.notes.map(sentence)]);
    });
  };
  const making: Making = { job, work, busy: asking.busy, make };
  return (
    <div className="page out">
      <p className="note">{w.text}</p>
      {said.length > 0 && <div className="notice" role="status"><span>{said.join(" ")}</span></div>}
      <AskingState asking={asking} work={work} at={w.making} />
      <OverlayForm {...making} />
      <h2>{w.numbered}</h2>
      <p className="note">{w.numberedText}</p>
      {job.codes.length === 0 ? <p>{w.noCode}</p> : <NumberedForm {...making} />}
    </div>
  );
}

interface Making {
  readonly job: Job;
  readonly work: Work;
  readonly busy: boolean;
  readonly make: (name: string, type: string, run: () => Promise<Exported<BlobPart>>) => void;
}

function OverlayForm({ job, work, busy, make }: Making) {
  const w = useWords().jobs.out;
  const [parts, setParts] = useState<readonly OverlayPart[]>(["marks", "codes"]);
  const [sheet, setSheet] = useState("");
  return (
    <>
      <CheckboxGroup className="choice" value={[...parts]} onChange={(v) => setParts(OVERLAY_PARTS.filter((p) => v.includes(p)))}>
        <Label>{w.parts}</Label>
        <div className="out-parts">{OVERLAY_PARTS.map((part) => <Checkbox key={part} value={part} className="check-option"><span className="check-box" aria-hidden="true" />{w.part[part]}</Checkbox>)}</div>
      </CheckboxGroup>
      {parts.some((p) => p === "cuts" || p === "creases") && <p className="warnings">{w.warning}</p>}
      {job.codes.length > 0 && parts.includes("codes") && <TextBox label={w.sheet} text={w.sheetText} value={sheet} onChange={setSheet} longest={20} />}
      <div className="buttons">
        {FORMATS.map((format) => (
          <Button key={format} className="button" isDisabled={busy || parts.length === 0} onPress={() => make(`${job.id}.${format}`, TYPES[format], () =>
            work.ask("overlay", { job, format, options: { parts, ...(sheet !== "" && { sheet }) } }))}><Icon name="save" />{w.save(format.toUpperCase())}</Button>
        ))}
      </div>
    </>
  );
}

function NumberedForm({ job, work, busy, make }: Making) {
  const w = useWords().jobs.out;
  const [from, setFrom] = useState(1);
  const [count, setCount] = useState(100);
  const [digits, setDigits] = useState(4);
  const [marks, setMarks] = useState(false);
  return (
    <>
      <div className="fields two out-numbers">
        <CountBox label={w.first} value={from} fromZero most={1e9} onChange={setFrom} />
        <CountBox label={w.count} value={count} most={MOST_PAGES} text={w.tooMany(String(MOST_PAGES))} onChange={setCount} />
        <CountBox label={w.digits} value={digits} fromZero most={9} text={w.digitsText} onChange={setDigits} />
      </div>
      <Checkbox className="check-option" isSelected={marks} onChange={setMarks}><span className="check-box" aria-hidden="true" />{w.withMarks}</Checkbox>
      <div className="buttons">
        <Button className="button" isDisabled={busy} onPress={() => make(`${job.id}-${from}-${from + count - 1}.pdf`, TYPES.pdf, () => work.ask("numbered", { job, from, count, digits, marks }))}>
          <Icon name="save" />{w.saveNumbered}
        </Button>
      </div>
    </>
  );
}
