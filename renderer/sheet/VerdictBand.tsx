import type { CSSProperties } from "react";
import type { Measured } from "../../core/check/record.ts";
import { type Sheet, type Standing, standing } from "../desk/sheet.ts";
import { useFaultText } from "../frame/Fault.tsx";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useShop, useWords } from "../settings/useSettings.tsx";
import { deciding } from "./deciding.ts";
import { judgedFigures } from "./judgedFigures.ts";
import { verdictKind } from "./verdictKind.ts";

/** The verdict, to be read from three metres: a word, a shape, one line of figures, and what to do next. */
export function VerdictBand({ sheet }: { sheet: Sheet }) {
  const words = useWords();
  const now = standing(sheet);
  const text = words.verdict[now];
  const record = sheet.outcome?.record;
  return (
    <section className={`verdict verdict-${now}`} aria-label={words.verdict.label} aria-live="polite" data-standing={now}>
      <VerdictShape standing={now} />
      <h1 className="verdict-word" style={longest(text.word)}>{text.word}</h1>
      <div className="verdict-text">
        {record?.status === "refused" && <RefusalText code={record.refusal.code} message={record.refusal.message} hint={record.refusal.hint} />}
        {record?.status === "measured" && <MeasuredText record={record} standing={now} />}
        {!record && (sheet.fault ? <FaultLines error={sheet.fault} /> : <p>{text.line}</p>)}
      </div>
    </section>
  );
}

/** The letters of the longest word: the style sheet makes the word as large as its band lets it be. */
function longest(text: string): CSSProperties {
  return { "--letters": Math.max(...text.split(" ").map((word) => word.length)) } as CSSProperties;
}

function MeasuredText({ record, standing }: { record: Measured; standing: Standing }) {
  const { words, figures } = useShop();
  const kind = verdictKind(standing, record);
  const text = words.verdict[kind];
  const mind = (kind === "in" || kind === "hidden" || kind === "astray") && record.warnings.length > 0;
  const { what, value, U, limit } = deciding(record);
  const { name, unit, write } = judgedFigures(what, words, figures);
  return (
    <>
      <p className="verdict-figure">
        {name} <b>{write(value)}</b> ± {write(U)} {unit}{limit !== undefined && <>, {words.values.limitOf(write(limit))}</>}
      </p>
      <p>{text.line}</p>
      <p className="verdict-next"><b>{words.verdict.next}:</b> {text.next}{mind && ` ${words.verdict.mind(words.warnings.title)}`}</p>
    </>
  );
}

function RefusalText({ code, message, hint }: { code: keyof ReturnType<typeof useWords>["refusals"]; message: string; hint: string }) {
  const words = useWords();
  const known = words.refusals[code];
  return (
    <>
      <p className="verdict-figure">{known.message}</p>
      <p className="verdict-next"><b>{words.verdict.next}:</b> {known.hint}</p>
      {words.tag === "en" && message !== known.message && <p className="verdict-detail">{message} {hint !== known.hint && hint}</p>}
    </>
  );
}

function FaultLines({ error }: { error: Error }) {
  const words = useWords();
  const { message, hint } = useFaultText(error);
  return (
    <>
      <p className="verdict-figure">{message}</p>
      {hint && <p className="verdict-next"><b>{words.verdict.next}:</b> {hint}</p>}
    </>
  );
}
