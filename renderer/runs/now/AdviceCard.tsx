import type { Message } from "../../../core/trend/messages.ts";
import { go } from "../../frame/useHash.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Button } from "react-aria-components";
import type { AdviceAnswer, Overview } from "../runData.ts";
import { adviceText, partOf } from "./adviceText.ts";

/** Correct now, wait, or look for a cause: the word, why, what to add to the cutter's settings, and what to check. */
export function AdviceCard({ answer: { advice }, overview: { run, axes } }: { answer: AdviceAnswer; overview: Overview }) {
  const { words, figures } = useShop();
  const w = words.runs.now;
  const messages = advice.messages as readonly Message[];
  const said = (part: ReturnType<typeof partOf>) => messages.filter((m) => partOf(m.key) === part).map((m) => adviceText(m, words, figures, axes));
  const [moves, causes] = [said("move"), said("cause")];
  return (
    <section className={`card run-advice advice-${advice.action}`} aria-label={w.advice}>
      <h2 className="advice-word">{words.runs.actions[advice.action]}</h2>
      {said("action").map((text) => <p key={text} className="advice-line">{text}</p>)}
      {moves.length > 0 && (
        <>
          <h3>{w.correction}</h3>
          <ul className="moves">{moves.map((text) => <li key={text}>{text}</li>)}</ul>
          <p className="note">{w.signs}</p>
        </>
      )}
      <h3>{w.why}</h3>
      <ul>{said("reason").map((text) => <li key={text}>{text}</li>)}</ul>
      {causes.length > 0 && <><h3>{w.causes}</h3><ul className="causes">{causes.map((text) => <li key={text}>{text}</li>)}</ul></>}
      {moves.length > 0 && (
        <>
          <p className="caution">{w.caution}</p>
          <div className="buttons"><Button className="main-button" onPress={() => go("runs", String(run.id), "events", "correction")}>{w.entered}</Button></div>
        </>
      )}
    </section>
  );
}
