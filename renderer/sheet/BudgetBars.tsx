import type { BudgetLine } from "../../core/check/record.ts";
import { useShop } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";

/** The uncertainty budget of the worst deviation: each source's share as a bar, largest first, with the figures beside. */
export function BudgetBars({ budget }: { budget: readonly BudgetLine[] }) {
  const { words, figures } = useShop();
  const say = useSentence();
  const total = budget.reduce((sum, line) => sum + line.contribution ** 2, 0);
  const lines = [...budget].sort((a, b) => b.contribution - a.contribution);
  return (
    <>
      <p className="note">{words.budget.caption}</p>
      <table className="figures budget">
        <caption className="unseen">{words.budget.title}</caption>
        <thead>
          <tr>
            <th scope="col">{words.budget.source}</th>
            <th scope="col">{words.budget.contribution}</th>
            <th scope="col"><span className="unseen">%</span></th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.source}>
              <th scope="row">{say(line.source)}<small>{line.type === "A" ? words.budget.typeA : words.budget.typeB}</small></th>
              <td>{figures.length(line.contribution)} {figures.lengthUnit}</td>
              <td className="bar-cell">
                <span className={`bar bar-${line.type}`} style={{ width: `${total > 0 ? (100 * line.contribution ** 2) / total : 0}%` }} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
