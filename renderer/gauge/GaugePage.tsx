import { useState } from "react";
import { Fault } from "../frame/Fault.tsx";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { LengthSection } from "./LengthSection.tsx";
import { PlanForm } from "./PlanForm.tsx";
import { ReadingsSection } from "./ReadingsSection.tsx";
import { ResultSection } from "./ResultSection.tsx";
import { useStudy } from "./useStudy.ts";
import "./gauge.css";

/** The gauge study from plan to result, and the length check beside it. */
export default function GaugePage() {
  const words = useWords();
  const w = words.gauge;
  const view = useStudy();
  const { asked, study, change } = view;
  const [planning, setPlanning] = useState(false);
  const head = <><a className="back" href="#cameras">‹ {w.back}</a><h1>{w.title}</h1><p className="note">{w.intro}</p></>;
  if (asked.kind !== "ready" || !study) return <div className="page">{head}<Waiting asked={asked} /></div>;
  const { job } = asked.value;
  const planned = study.sheets.length > 0;
  return (
    <div className="page wide gauge">
      {head}
      <p className={job ? "note" : "warnings"}>{job ? w.job(job.name ?? job.id) : w.noJob}</p>
      {view.fault && <Fault error={view.fault} />}
      {!planned || planning ? (
        <PlanForm study={study} position={job?.position} onPlan={(next) => {
          change(next);
          setPlanning(false);
        }} />
      ) : (
        <>
          <ReadingsSection view={view} study={study} ready={job !== null} onPlan={() => setPlanning(true)} />
          <ResultSection study={study} />
        </>
      )}
      <LengthSection lengths={study.lengths} onChange={(lengths) => change({ ...study, lengths })} />
    </div>
  );
}
