import { datumOf, type Tolerance } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { LengthBox } from "../form/LengthBox.tsx";
import { NumberBox } from "../form/NumberBox.tsx";
import type { Edit } from "./useJobDoc.ts";

/** How far off is still good; what a rate comes to on this very sheet is said beside it. */
export function ToleranceForm({ job, edit }: { job: DraftJob; edit: Edit }) {
  const { words, figures, settings } = useShop();
  const w = words.jobs.edit;
  const { tolerance, sheet } = job;
  const unit = figures.lengthUnit;
  const set = (name: keyof Tolerance, value: number | undefined) => edit(`tolerance ${name}`, (now) => ({ ...now, tolerance: { ...now.tolerance, [name]: value } }));
  const datum = datumOf(job);
  const farthest = Math.hypot(Math.max(datum.x, sheet.width - datum.x), Math.max(datum.y, sheet.height - datum.y));
  const over = (rate: number | undefined, length: number) => figures.length(((rate ?? 1) * length) / 1000);
  // A thousandth of an inch per inch is the same ratio as a millimetre per metre.
  const rateUnit = settings.units === "inch" ? w.perInch : w.perMetre;
  const length = (name: "offset" | "crease", text: string) => <LengthBox label={w[name]} text={text} step={0.1} optional value={tolerance[name]} onChange={(v) => set(name, v)} />;
  const rate = (name: "rotation" | "skew" | "scale", text: string) => <NumberBox label={w[name]} text={text} unit={rateUnit} step={0.1} optional value={tolerance[name]} onChange={(v) => set(name, v)} />;
  return (
    <>
      <p className="note">{w.toleranceText}</p>
      <div className="fields">
        <LengthBox label={w.position} text={w.positionText} step={0.1} value={tolerance.position} onChange={(v) => v !== undefined && set("position", v)} />
        {length("offset", w.offsetText)}
        {rate("rotation", w.rotationText(over(tolerance.rotation, farthest), unit))}
        {rate("skew", w.skewText(over(tolerance.skew, sheet.height), unit))}
        {rate("scale", w.scaleText(over(tolerance.scale, Math.max(sheet.width, sheet.height)), unit))}
        {length("crease", w.creaseText)}
      </div>
    </>
  );
}
