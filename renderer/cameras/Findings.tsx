import type { Finding, Profile } from "../../core/camera/profile.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { useSentence } from "../words/useSentence.ts";

/** A grade has the shape of the verdict it amounts to, beside its word. */
export const GRADE_SHAPE = { good: "in", usable: "unsure", poor: "out" } as const;
const LEVELS: readonly Finding["level"][] = ["fault", "weak", "note"];

/** The verdict on a set of pictures: its grade, and what to do better, the gravest first. */
export function Findings({ verdict }: Pick<Profile, "verdict">) {
  const words = useWords();
  const say = useSentence();
  const w = words.cameras;
  const findings = [...verdict.findings].sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
  return (
    <div className="findings">
      <p className="grade"><VerdictShape standing={GRADE_SHAPE[verdict.grade]} /><b>{w.gradeLine[verdict.grade]}</b></p>
      {findings.length === 0 ? <p className="note">{w.verdict.fine}</p> : (
        <ul className="finding-list">
          {findings.map((f) => <li key={f.message} className={`finding finding-${f.level}`}><b>{w.verdict.level[f.level]}</b> {say(f.message)}</li>)}
        </ul>
      )}
    </div>
  );
}
