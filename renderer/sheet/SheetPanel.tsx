import type { Measured } from "../../core/check/record.ts";
import type { Job } from "../../core/job/schema.ts";
import { useWords } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";
import { BudgetBars } from "./BudgetBars.tsx";
import { CorrectionPanel } from "./CorrectionPanel.tsx";
import { FeatureTable, MarkTable, ViewFacts } from "./DetailTables.tsx";
import { JudgedTable } from "./JudgedTable.tsx";
import { Section } from "./Section.tsx";
import { ValuesTable } from "./ValuesTable.tsx";
import { WitnessTable } from "./WitnessTable.tsx";

/** Everything known of a measured sheet, the most wanted first; the rest is folded. */
export function SheetPanel({ job, record }: { job: Job; record: Measured }) {
  const words = useWords();
  return (
    <div className="panel">
      <Warnings warnings={record.warnings} />
      <Section title={words.values.judgedTitle} open><JudgedTable record={record} /></Section>
      <Section title={words.correction.title} open><CorrectionPanel job={job} record={record} /></Section>
      <Section title={words.values.title} open><ValuesTable record={record} /></Section>
      {record.witnesses && <Section title={words.values.witnessTitle} open><WitnessTable witnesses={record.witnesses} /></Section>}
      <Section title={words.values.featuresTitle}><FeatureTable record={record} /></Section>
      <Section title={words.budget.title}><BudgetBars budget={record.budget} /></Section>
      <Section title={words.values.marksTitle}><MarkTable record={record} /></Section>
      <Section title={words.values.viewTitle}><ViewFacts record={record} /></Section>
    </div>
  );
}

/** What the check warns of, in the reader's language. */
export function Warnings({ warnings }: { warnings: readonly string[] }) {
  const words = useWords();
  const say = useSentence();
  if (warnings.length === 0) return null;
  return (
    <div className="warnings" role="note">
      <strong>{words.warnings.title}</strong>
      <ul>{warnings.map((warning) => <li key={warning}>{say(warning)}</li>)}</ul>
    </div>
  );
}
