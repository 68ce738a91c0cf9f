import { useMemo } from "react";
import { Button } from "react-aria-components";
import { writePayload } from "../../../core/job/payload.ts";
import { qrSymbol } from "../../../core/job/qr.ts";
import type { Code } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { GivenLength } from "../form/LengthBox.tsx";
import { TextBox } from "../form/TextBox.tsx";
import { newCode, withAt, withoutAt } from "./changes.ts";
import type { Edit } from "./useJobDoc.ts";

/** Smaller modules are hard to read from a photo, mm (common practice, no source). */
const FINE = 0.4;

/** Codes on the sheet: place, size, and the pattern of what they read. */
export function CodeForm({ job, edit }: { job: DraftJob; edit: Edit }) {
  const w = useShop().words.jobs.edit;
  return (
    <>
      <p className="note">{w.codesText}</p>
      {job.codes.map((code, i) => <OneCode key={i} code={code} index={i} id={job.id} edit={edit} />)}
      <Button className="button" onPress={() => edit(null, (now) => ({ ...now, codes: [...now.codes, newCode(now)] }))}><Icon name="plus" />{w.addCode}</Button>
    </>
  );
}

function OneCode({ code, index, id, edit }: { code: Code; index: number; id: string; edit: Edit }) {
  const { words, figures } = useShop();
  const w = words.jobs.edit;
  const set = (name: string, part: Partial<Code>) => edit(`code ${index} ${name}`, (now) => ({ ...now, codes: withAt(now.codes, index, (c) => ({ ...c, ...part })) }));
  const reads = writePayload(code.payload, { job: id, sheet: "17" });
  const symbol = useMemo(() => qrSymbol(reads), [reads]);
  const module = symbol && code.size / symbol.count;
  return (
    <div className="one" role="group" aria-label={w.code(String(index + 1))}>
      <h3>{w.code(String(index + 1))}</h3>
      <div className="fields two">
        <GivenLength label={w.x} range="nonnegative" value={code.x} onChange={(x) => set("x", { x })} />
        <GivenLength label={w.y} range="nonnegative" value={code.y} onChange={(y) => set("y", { y })} />
        <GivenLength label={w.size} value={code.size} onChange={(size) => set("size", { size })} />
      </div>
      <TextBox label={w.payload} text={w.payloadText} value={code.payload} onChange={(payload) => payload !== "" && set("payload", { payload })} longest={300} fault={symbol ? null : w.payloadLong} />
      <p className="note payload">{w.payloadReads(reads)}</p>
      {symbol && module !== null && <p className="note">{w.payloadModule(figures.number(figures.fromMm(module), figures.lengthUnit === "in" ? 3 : 2), figures.lengthUnit, String(symbol.count))}</p>}
      {module !== null && module < FINE && <p className="warnings">{w.payloadSmall}</p>}
      {!code.payload.includes("{sheet}") && <p className="warnings">{w.payloadNoSheet}</p>}
      <Button className="button" onPress={() => edit(null, (now) => ({ ...now, codes: withoutAt(now.codes, index) }))}><Icon name="close" />{w.removeCode}</Button>
    </div>
  );
}
