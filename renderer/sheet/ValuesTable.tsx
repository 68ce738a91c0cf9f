import type { Measured } from "../../core/check/record.ts";
import { useShop } from "../settings/useSettings.tsx";

interface Row {
  readonly name: string;
  readonly value: string;
  readonly U: string;
  readonly unit: string;
  readonly beside?: string;
}

/** Cut minus print in its parts, each with its expanded uncertainty; angles in degrees beside mm/m. */
export function ValuesTable({ record }: { record: Measured }) {
  const { words } = useShop();
  return (
    <>
      <p className="note">{words.values.caption}</p>
      <table className="figures">
        <caption className="unseen">{words.values.title}</caption>
        <thead>
          <tr>
            <th scope="col">{words.values.quantity}</th>
            <th scope="col">{words.values.value}</th>
            <th scope="col">± U</th>
            <th scope="col"><span className="unseen">{words.settings.units}</span></th>
          </tr>
        </thead>
        <tbody>
          {useRows(record).map((row) => (
            <tr key={row.name}>
              <th scope="row">{row.name}</th>
              <td><b>{row.value}</b></td>
              <td>{row.U}</td>
              <td className="unit">{row.unit}{row.beside && <small>{row.beside}</small>}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

function useRows(record: Measured): Row[] {
  const { words, figures } = useShop();
  const length = (name: string, value: number, U: number): Row => ({
    name, value: figures.length(value, true), U: figures.length(U), unit: figures.lengthUnit,
  });
  const rate = (name: string, value: number, U: number, angle: boolean): Row => ({
    name, value: figures.rate(value, true), U: figures.rate(U), unit: "mm/m", beside: angle ? figures.degrees(value, true) : undefined,
  });
  const { offset, rotation, skew, scale } = record;
  return [
    length(words.values.offsetX, offset.x, offset.U),
    length(words.values.offsetY, offset.y, offset.U),
    rate(words.values.rotation, rotation.value, rotation.U, true),
    rate(words.values.skew, skew.value, skew.U, true),
    rate(words.values.scaleX, scale.x, scale.U, false),
    rate(words.values.scaleY, scale.y, scale.U, false),
  ];
}
