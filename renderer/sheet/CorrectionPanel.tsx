import type { Measured } from "../../core/check/record.ts";
import type { Job } from "../../core/job/schema.ts";
import { useShop } from "../settings/useSettings.tsx";
import { CorrectionSketch } from "./CorrectionSketch.tsx";
import { correctionSteps } from "./correctionSteps.ts";

/** What to add to the cutter's own settings, in words and as a sketch from the cutter's side. */
export function CorrectionPanel({ job, record }: { job: Job; record: Measured }) {
  const { words, figures } = useShop();
  const steps = correctionSteps(record, words, figures);
  const frame = job.cutFrom === "print" ? words.correction.frame.print : words.correction.frame[job.flip];
  return (
    <div className="correction">
      <p className="note">{frame}</p>
      <div className="correction-body">
        {steps.every((step) => step.weak) && <p><b>{words.correction.none}</b></p>}
        <ul className="steps">
          {steps.map((step) => (
            <li key={step.text} className={step.weak ? "weak" : undefined}>
              {step.text}
              {step.weak && <small> ({words.correction.belowNoise})</small>}
            </li>
          ))}
        </ul>
        <CorrectionSketch job={job} correction={record.correction} />
      </div>
      <p className="caution">{words.correction.caution}</p>
    </div>
  );
}
