import { Button } from "react-aria-components";
import { useWords } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import type { Aside } from "../runData.ts";

/** What was decided, the latest first; each can be taken back. */
export function Decisions({ decisions, takeBack }: { decisions: Aside["decisions"]; takeBack(batch: number): void }) {
  const words = useWords();
  const w = words.runs.aside;
  if (decisions.length === 0) return null;
  return (
    <Section title={w.history} open>
      <ul className="decisions">
        {decisions.map((one) => (
          <li key={one.batch}>
            <span><b>{w.range(one.from, one.to)}</b>: {w.decisions[one.decision]}. {one.why} <small>({one.who}, {new Date(one.madeAt).toLocaleString(words.locale)})</small></span>
            <Button className="button" onPress={() => takeBack(one.batch)}>{w.takeBack}</Button>
          </li>
        ))}
      </ul>
    </Section>
  );
}
