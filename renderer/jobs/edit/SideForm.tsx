import { Radio, RadioGroup } from "react-aria-components";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { useWords } from "../../settings/useSettings.tsx";
import { SidePicture } from "./SidePicture.tsx";
import type { Edit } from "./useJobDoc.ts";

/** The three ways a sheet comes to lie on the cutter. */
export type Side = "print" | "x" | "y";
const SIDES: readonly Side[] = ["print", "x", "y"];

/** Which side the blade enters and how the sheet was turned over, chosen by its picture. */
export function SideForm({ job, edit }: { job: DraftJob; edit: Edit }) {
  const w = useWords().jobs.edit;
  const side: Side = job.cutFrom === "print" ? "print" : job.flip;
  // A sheet that is not turned over keeps the way it would be.
  const choose = (next: Side) => edit(null, (now) => (next === "print" ? { ...now, cutFrom: "print" } : { ...now, cutFrom: "reverse", flip: next }));
  return (
    <>
      <p className="note">{w.sideText}</p>
      <RadioGroup className="sides" aria-label={w.side} value={side} onChange={(v) => choose(v as Side)}>
        {SIDES.map((one) => (
          <Radio key={one} value={one} className="side">
            <SidePicture side={one} />
            <span><b>{w.sides[one]}</b><small>{w.sidePicture[one]}</small></span>
          </Radio>
        ))}
      </RadioGroup>
    </>
  );
}
