import type { Prediction } from "../../../core/design/predict.ts";
import type { Contribution } from "../../../core/design/contributions.ts";
import { useShop } from "../../settings/useSettings.tsx";

/** Which marks matter: how the worst place would be without each, the most needed first. */
export function MarkTable({ prediction, contributions }: { prediction: Prediction; contributions: readonly Contribution[] }) {
  const { words, figures } = useShop();
  const w = words.jobs.design;
  const now = prediction.worst.U;
  const sigma = new Map(prediction.marks.map((m) => [m.id, m.sigma]));
  const sorted = [...contributions].sort((a, b) => (b.without ?? Infinity) - (a.without ?? Infinity));
  const most = Math.max(...sorted.map((c) => (c.without ?? 0) / now), 1);
  return (
    <>
      <p className="note">{w.marksText}</p>
      <table className="figures">
        <thead><tr><th scope="col">{w.mark}</th><th scope="col">{w.without}</th><th scope="col"><span className="unseen">%</span></th><th scope="col">{w.sigma}</th></tr></thead>
        <tbody>
          {sorted.map(({ id, without }) => (
            <tr key={id}>
              <th scope="row">{id}</th>
              <td>{without === null ? w.needed : <>± {figures.length(without)}<small>{w.times(figures.number(without / now, 2))}</small></>}</td>
              <td className="bar-cell"><span className="bar" style={{ width: `${without === null ? 100 : (100 * (without / now - 1)) / Math.max(most - 1, 0.2)}%` }} /></td>
              <td>{figures.length(2 * (sigma.get(id) ?? 0))} {figures.lengthUnit}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
