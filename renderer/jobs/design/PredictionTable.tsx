import type { Prediction } from "../../../core/design/predict.ts";
import type { Tolerance } from "../../../core/job/schema.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";

/** One-sided 95 % of the normal distribution: the half-width of the unsure band in standard uncertainties. */
const Z95 = 1.645;
/** U as a part of the tolerance up to which a measurement is good, and usable: a quarter and a half (common practice, no source). */
const GOOD = 0.25;
const FAIR = 0.5;

/** The predicted uncertainties against the job's limits, and what that means at the table. */
export function PredictionTable({ prediction, tolerance }: { prediction: Prediction; tolerance: Tolerance }) {
  const { words, figures, settings } = useShop();
  const w = words.jobs.design;
  const sentence = useSentence();
  const rate = settings.units === "inch" ? words.jobs.edit.perInch : words.jobs.edit.perMetre;
  const rows = [
    { what: w.worst, detail: w.worstAt(prediction.worst.feature), U: prediction.worst.U, limit: tolerance.position, unit: figures.lengthUnit, text: figures.length },
    { what: words.values.offset, U: prediction.offset, limit: tolerance.offset, unit: figures.lengthUnit, text: figures.length },
    { what: words.jobs.edit.rotation, U: prediction.rotation, limit: tolerance.rotation, unit: rate, text: figures.rate },
    { what: words.jobs.edit.skew, U: prediction.skew, limit: tolerance.skew, unit: rate, text: figures.rate },
    { what: words.jobs.edit.scale, U: prediction.scale, limit: tolerance.scale, unit: rate, text: figures.rate },
  ];
  const part = prediction.worst.U / tolerance.position;
  const band = figures.length((Z95 * prediction.worst.U) / 2);
  const grade = part <= GOOD ? "good" : part <= FAIR ? "fair" : "poor";
  const help = grade === "good" ? "" : ` ${marksWouldHelp(prediction.budget) ? w.moreMarks : prediction.distance === null ? w.finer : w.nearer}`;
  return (
    <>
      <p className={`grade grade-${grade}`}>{w[grade](band, figures.lengthUnit)}{help}</p>
      <table className="figures">
        <thead><tr><th scope="col">{w.quantity}</th><th scope="col">±</th><th scope="col">{w.limit}</th></tr></thead>
        <tbody>
          {rows.map(({ what, detail, U, limit, unit, text }) => (
            <tr key={what}>
              <th scope="row">{what}{detail && <small>{detail}</small>}</th>
              <td>{text(U)} {unit}</td>
              <td>{limit === undefined ? "–" : <>{text(limit)}<small>{w.part(figures.percent(U / limit))}</small></>}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="note">{w.resolution(figures.number(prediction.pxPerMm, 1))}{prediction.distance !== null && ` ${w.fromAbout(figures.place(prediction.distance), figures.lengthUnit)}`}</p>
      {prediction.warnings.length > 0 && <ul className="warnings import-notes">{prediction.warnings.map((text) => <li key={text}>{sentence(text)}</li>)}</ul>}
    </>
  );
}

/** What marks could tell is most of the uncertainty; the rest is the cut's own edge, which they do not see. */
function marksWouldHelp(budget: Prediction["budget"]): boolean {
  const square = (lines: Prediction["budget"]) => lines.reduce((sum, { contribution }) => sum + contribution ** 2, 0);
  return 2 * square(budget.filter((line) => line.type === "A" || BY_MARKS.has(line.source))) > square(budget);
}

const BY_MARKS = new Set(["board not flat", "lens profile", "print of the marks"]);
