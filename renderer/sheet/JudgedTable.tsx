import type { Judged, Measured } from "../../core/check/record.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { useFeatureName } from "../words/useSentence.ts";
import { judgedFigures } from "./judgedFigures.ts";

/** Every value that has a tolerance, with how surely it keeps it. */
export function JudgedTable({ record }: { record: Measured }) {
  const { words } = useShop();
  return (
    <table className="figures judged">
      <caption className="unseen">{words.values.judgedTitle}</caption>
      <thead>
        <tr>
          <th scope="col">{words.values.quantity}</th>
          <th scope="col">{words.values.value} ± U</th>
          <th scope="col">{words.values.limit}</th>
          <th scope="col">{words.values.conformity}</th>
          <th scope="col"><span className="unseen">{words.values.verdict}</span></th>
        </tr>
      </thead>
      <tbody>{record.judged.map((one) => <JudgedRow key={one.what} judged={one} record={record} />)}</tbody>
    </table>
  );
}

function JudgedRow({ judged, record }: { judged: Judged; record: Measured }) {
  const { words, figures } = useShop();
  const nameOf = useFeatureName();
  const { name, unit, write } = judgedFigures(judged.what, words, figures);
  return (
    <tr data-what={judged.what}>
      <th scope="row">
        {name}
        {judged.what === "position" && record.worst.feature && (
          <small>{words.values.at(nameOf(record.worst.feature), figures.place(record.worst.x), figures.place(record.worst.y))}</small>
        )}
      </th>
      <td data-label={`${words.values.value} ± U`}><b>{write(judged.value)}</b> {unit}<small>± {write(judged.U)}</small></td>
      <td data-label={words.values.limit}>{write(judged.limit)}</td>
      <td data-label={words.values.conformity}>{figures.chance(judged.conformity)}</td>
      <td><span className="row-verdict"><VerdictShape standing={judged.verdict} /><span className="unseen">{words.verdict[judged.verdict].word}</span></span></td>
    </tr>
  );
}
