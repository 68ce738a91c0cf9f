import { useState } from "react";
import { Button, FileTrigger } from "react-aria-components";
import type { Box } from "../../../core/geometry/polygon.ts";
import type { Job } from "../../../core/job/schema.ts";
import { Fault } from "../../frame/Fault.tsx";
import { Icon } from "../../frame/Icon.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { DRAWINGS } from "../import/drawings.ts";
import { Stopped, type Work } from "../worker/work.ts";

/** Areas that proposals keep out of, and the drawing that they were read from. */
export interface Artwork {
  readonly name: string;
  readonly boxes: readonly Box[];
  readonly notes: readonly string[];
}

/** The print's artwork, chosen as a drawing, for proposed marks to keep out of. */
export function ArtworkChoice({ sheet, work, artwork, choose }: { sheet: Job["sheet"]; work: Work; artwork: Artwork | null; choose: (artwork: Artwork | null) => void }) {
  const w = useWords().jobs.design;
  const sentence = useSentence();
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState<Error | null>(null);
  const [refusal, setRefusal] = useState("");
  const read = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    setFault(null);
    setRefusal("");
    try {
      const bytes = await file.arrayBuffer();
      const answer = await work.ask("artwork", { bytes, name: file.name, sheet }, [bytes]);
      if (answer.ok) choose({ name: file.name, boxes: answer.boxes, notes: answer.notes });
      else setRefusal(`${sentence(answer.reason)} ${sentence(answer.hint)}`);
    } catch (error) {
      if (!(error instanceof Stopped)) setFault(error as Error);
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <div className="buttons">
        <FileTrigger acceptedFileTypes={DRAWINGS} onSelect={(files) => void read(files?.[0])}><Button className="button" isDisabled={busy}><Icon name="open" />{w.artworkChoose}</Button></FileTrigger>
        {artwork && <Button className="button" onPress={() => choose(null)}>{w.artworkDrop}</Button>}
      </div>
      {busy && <p className="note" role="status">{w.artworkReading}</p>}
      {refusal && <p className="fault" role="alert">{refusal}</p>}
      {fault && <Fault error={fault} />}
      {artwork && (
        <div role="status">
          <p>{w.artworkKept(String(artwork.boxes.length), artwork.name)}</p>
          {artwork.notes.map((note) => <p key={note} className="note">{sentence(note)}</p>)}
        </div>
      )}
    </>
  );
}
