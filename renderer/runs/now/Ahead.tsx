import type { Asked } from "../../frame/useHost.ts";
import { useShop } from "../../settings/useSettings.tsx";
import type { AdviceAnswer, Aside } from "../runData.ts";

/** Which limits are coming nearer and when, the sheet to check next, and how many bad ones are to be expected. */
export function Ahead({ warnings, aside, runId }: { warnings: AdviceAnswer["warnings"]; aside: Asked<Aside>; runId: string }) {
  const { words, figures } = useShop();
  const w = words.runs.now;
  const whole = (value: number) => figures.number(value, 0);
  const stack = aside.kind === "ready" ? aside.value.stack : null;
  const expected = aside.kind === "ready" ? aside.value.expected : null;
  return (
    <section className="card">
      <h2>{w.ahead}</h2>
      {stack?.setAside.next != null && <p className="next-sheet"><a href={`#runs/${runId}/aside`}>{w.next(String(stack.setAside.next), String(stack.sheets - stack.setAside.next + 1))}</a></p>}
      {stack && stack.setAside.next === null && <p>{w.nothingSuspect}</p>}
      {expected && <p>{w.expected(whole(expected.expected), whole(expected.low), whole(expected.high), String(expected.suspects))}</p>}
      {warnings.length === 0 && <p className="note">{w.nothingAhead}</p>}
      <ul>
        {warnings.map(({ value, left }) => (
          <li key={value}>{left.value < 0.5 ? w.reached(words.runs.named[value]) : w.leftOf(words.runs.named[value], whole(left.value), whole(Math.floor(left.low)), left.high === null ? "∞" : whole(Math.ceil(left.high)))}</li>
        ))}
      </ul>
    </section>
  );
}
