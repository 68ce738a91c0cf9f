import { Button, DropZone, FileTrigger, isFileDropItem, ProgressBar } from "react-aria-components";
import { Fault } from "../../frame/Fault.tsx";
import { Icon } from "../../frame/Icon.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { DRAWINGS } from "./drawings.ts";
import { MeaningPage } from "./MeaningPage.tsx";
import { UnitQuestion } from "./UnitQuestion.tsx";
import { type Import, useImport } from "./useImport.ts";

/** A drawing becomes a job: put it in, say what is what, confirm the marks. */
export function ImportPage() {
  const words = useWords();
  const w = words.jobs.import;
  const state = useImport();
  const { reading } = state;
  return (
    <DropZone className="drop import" aria-label={w.dropTitle} getDropOperation={() => "copy"} onDrop={async (event) => {
      const item = event.items.find(isFileDropItem);
      if (item) state.open(await item.getFile());
    }}>
      {({ isDropTarget }) => (
        <>
          <header className="job-bar">
            <div className="job-name">
              <a className="back" href="#jobs">← {w.back}</a>
              <h1>{reading.kind === "none" ? w.title : reading.name}</h1>
            </div>
            {reading.kind !== "none" && <div className="buttons"><ChooseDrawing state={state} text={w.another} /></div>}
          </header>
          {reading.kind === "none" && (
            <div className="empty import-drop">
              <h2>{w.dropTitle}</h2>
              <p>{w.dropText}</p>
              <ChooseDrawing state={state} text={w.choose} main />
            </div>
          )}
          {reading.kind === "reading" && (
            <div className="empty">
              <ProgressBar className="progress" isIndeterminate aria-label={w.reading(reading.name)}><span role="status">{w.reading(reading.name)}</span><span className="progress-rule busy" /></ProgressBar>
              <Button className="button" onPress={state.stop}>{words.common.stop}</Button>
            </div>
          )}
          {reading.kind === "refused" && <Refused name={reading.name} reason={reading.reason} hint={reading.hint} />}
          {reading.kind === "failed" && <Fault error={reading.error} />}
          {reading.kind === "unit" && <UnitQuestion width={reading.width} height={reading.height} answer={(unit) => state.readAs({ unit })} />}
          {reading.kind === "ready" && <MeaningPage key={`${reading.name}\n${reading.view.groups.map((g) => g.name).join("\n")}`} name={reading.name} view={reading.view} state={state} />}
          {isDropTarget && <div className="drop-veil">{words.jobs.list.dropHere}</div>}
        </>
      )}
    </DropZone>
  );
}

function ChooseDrawing({ state, text, main = false }: { state: Import; text: string; main?: boolean }) {
  return (
    <FileTrigger acceptedFileTypes={DRAWINGS} onSelect={(files) => files?.[0] && state.open(files[0])}>
      <Button className={main ? "main-button" : "button"}><Icon name="open" />{text}</Button>
    </FileTrigger>
  );
}

function Refused({ name, reason, hint }: { name: string; reason: string; hint: string }) {
  const w = useWords().jobs.import;
  const sentence = useSentence();
  return (
    <div className="fault" role="alert">
      <strong>{w.refused(name)}</strong> {sentence(reason)} {sentence(hint)}
    </div>
  );
}
