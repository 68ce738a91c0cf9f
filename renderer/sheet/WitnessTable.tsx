import type { WitnessReport } from "../../core/check/record.ts";
import { useShop } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";

/** Each witness with what it says of the cut at its place, and what all cuts together say there. */
export function WitnessTable({ witnesses }: { witnesses: readonly WitnessReport[] }) {
  const { words, figures } = useShop();
  const say = useSentence();
  const v = words.values;
  return (
    <>
      <p className="note">{v.witnessText}</p>
      <table className="figures">
        <caption className="unseen">{v.witnessTitle}</caption>
        <thead>
          <tr><th scope="col">{v.witness}</th><th scope="col">{v.rightPlus}</th><th scope="col">{v.upPlus}</th><th scope="col">± U</th><th scope="col">{v.allCuts}</th></tr>
        </thead>
        <tbody>
          {witnesses.map(({ ring, x, y, offset, common, reason }) => (
            <tr key={ring}>
              <th scope="row">{ring}<small>{v.place(figures.place(x), figures.place(y))}</small></th>
              {offset
                ? <><td><b>{figures.length(offset.x, true)}</b></td><td><b>{figures.length(offset.y, true)}</b></td><td>{figures.length(offset.U)}</td></>
                : <td colSpan={3} className="said">{say(reason ?? "")}</td>}
              <td>{figures.length(common.x, true)}<br />{figures.length(common.y, true)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
