import { useShop } from "../../settings/useSettings.tsx";
import { type AdviceAnswer, scaleOf } from "../runData.ts";

/** Checks that stand out from their neighbours, each with the way to its sheet. */
export function OddChecks({ odd, runId }: { odd: AdviceAnswer["odd"]; runId: string }) {
  const { words, figures } = useShop();
  const w = words.runs.now;
  if (odd.length === 0) return <p className="note">{w.oddNone}</p>;
  return (
    <ul className="odd">
      {odd.slice(0, 12).map((one) => {
        const scale = one.value && scaleOf(one.value, words, figures);
        const why = scale ? w.oddValue(words.runs.named[one.value as "offsetX"], `${scale.write(one.off ?? 0, true)} ${scale.unit}`) : w.oddMark(one.mark ?? "");
        return <li key={`${one.checkId} ${one.value ?? one.mark}`}><a href={`#check/run/${runId}/${one.checkId}`}>{one.sheet === null ? words.runs.recorded.noNumber : words.check.sheet(one.sheet)}</a>: {why}</li>;
      })}
    </ul>
  );
}
