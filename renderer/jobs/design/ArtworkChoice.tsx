import { Button, FileTrigger } from "react-aria-components";
import type { Box } from "../../../core/geometry/polygon.ts";
import type { Job } from "../../../core/job/schema.ts";
import { Icon } from "../../frame/Icon.tsx";
import { useWords } from "../../settings/useSettings.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { DRAWINGS } from "../import/drawings.ts";
import { AskingState } from "../worker/AskingState.tsx";
import { useAsking } from "../worker/useAsking.ts";
import type { Work } from "../worker/work.ts";

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
  const asking = useAsking();
  const read = (file: File) => asking.ask<Pick<Artwork, "boxes" | "notes">>(async () => {
    const bytes = await file.arrayBuffer();
    return work.ask("artwork", { bytes, name: file.name, sheet }, [bytes]);
  }, (drawing) => drawing && choose({ name: file.name, boxes: drawing.boxes, notes: drawing.notes }));
  return (
    <>
      <div className="buttons">
        <FileTrigger acceptedFileTypes={DRAWINGS} onSelect={(files) => files?.[0] && void read(files[0])}><Button className="button" isDisabled={asking.busy}><Icon name="open" />{w.artworkChoose}</Button></FileTrigger>
        {artwork && <Button className="button" onPress={() => choose(null)}>{w.artworkDrop}</Button>}
      </div>
      <AskingState asking={asking} work={work} at={w.artworkReading} />
      {artwork && (
        <div role="status">
          <p>{w.artworkKept(String(artwork.boxes.length), artwork.name)}</p>
          {artwork.notes.map((note) => <p key={note} className="note">{sentence(note)}</p>)}
        </div>
      )}
    </>
  );
}
