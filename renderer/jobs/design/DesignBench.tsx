import { useCallback, useState } from "react";
import { Button } from "react-aria-components";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import type { Setup } from "../../../core/design/setup.ts";
import type { Job } from "../../../core/job/schema.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { BudgetBars } from "../../sheet/BudgetBars.tsx";
import { Section } from "../../sheet/Section.tsx";
import { useSentence } from "../../words/useSentence.ts";
import { SheetCanvas } from "../canvas/SheetCanvas.tsx";
import { freeId, tidy } from "../edit/changes.ts";
import { useCutLines } from "../edit/useCutLines.ts";
import type { JobDoc } from "../edit/useJobDoc.ts";
import { Choice } from "../form/Choice.tsx";
import { intoSight } from "../form/intoSight.ts";
import { GivenLength } from "../form/LengthBox.tsx";
import type { GainMap } from "../worker/protocol.ts";
import { useWork } from "../worker/work.ts";
import type { Artwork } from "./ArtworkChoice.tsx";
import { rampOf } from "./drawMap.ts";
import { MarkTable } from "./MarkTable.tsx";
import { PredictionTable } from "./PredictionTable.tsx";
import { type Offer, ProposeForm } from "./ProposeForm.tsx";
import { SetupForm } from "./SetupForm.tsx";
import { useDesignScene } from "./useDesignScene.ts";
import { ONE_MORE, type Predicting, useGain, usePrediction } from "./usePrediction.ts";

/** How good will it be, before anything is printed: the map, the figures, the marks that matter, and proposals. */
export function DesignBench({ doc }: { doc: JobDoc }) {
  const w = useShop().words.jobs.design;
  const { job, edit } = doc;
  const work = useWork();
  const [setup, setSetup] = useState<Setup | null>(null);
  const [shown, setShown] = useState<Shown>("now");
  const [offer, setOffer] = useState<Offer | null>(null);
  const [artwork, setArtwork] = useState<Artwork | null>(null);
  const [spot, setSpot] = useState<PrintPoint | null>(null);
  const [said, setSaid] = useState("");
  const predicting = usePrediction(work, job, setup);
  const gaining = useGain(work, job, shown === "gain" || spot ? setup : null);
  const cutLines = useCutLines(work, job.cuts);
  const map = shown === "now" ? (predicting.kind === "ready" ? predicting.value.prediction.map : null) : gaining.kind === "ready" ? gaining.value : null;
  const scene = useDesignScene(job, cutLines, map, artwork?.boxes, offer, spot);

  const take = (taken: Offer) => {
    edit(null, (now) => (taken.kind === "marks" ? { ...now, marks: [...taken.marks] } : { ...now, marks: [...now.marks, ...taken.marks], cuts: [...now.cuts, ...taken.cuts] }));
    setOffer(null);
    setSaid(w.taken);
  };
  const addOne = (at: PrintPoint) => {
    edit(null, (now) => ({ ...now, marks: [...now.marks, { ...ONE_MORE, id: freeId("M", now.marks), x: tidy(at.x), y: tidy(at.y) }] }));
    setSpot(null);
    setSaid(w.taken);
  };
  const pick = useCallback((at: PrintPoint) => setSpot({
    x: Math.round(Math.min(job.sheet.width, Math.max(0, at.x)) * 10) / 10, y: Math.round(Math.min(job.sheet.height, Math.max(0, at.y)) * 10) / 10,
  }), [job.sheet]);

  return (
    <div className="bench">
      <SheetCanvas sheet={job.sheet} scene={scene} label={`${w.canvas}. ${w.canvasKeys}`} onPick={pick}>
        <MapWords shown={shown} show={setShown} map={map} />
      </SheetCanvas>
      <div className="panel">
        <p className="note">{w.intro}</p>
        {said && <p className="notice" role="status"><span>{said}</span></p>}
        <Section title={w.setup} open><SetupForm change={setSetup} /></Section>
        <Section title={w.values} open>
          <State of={predicting} />
          {predicting.kind === "ready" && <PredictionTable prediction={predicting.value.prediction} tolerance={job.tolerance} />}
        </Section>
        {predicting.kind === "ready" && <Section title={w.budget}><BudgetBars budget={predicting.value.prediction.budget} /></Section>}
        {predicting.kind === "ready" && <Section title={w.marks} open><MarkTable prediction={predicting.value.prediction} contributions={predicting.value.contributions} /></Section>}
        <Section title={w.one} open><OneMore sheet={job.sheet} spot={spot} setSpot={setSpot} gain={gaining.kind === "ready" ? gaining.value : null} add={addOne} /></Section>
        <Section title={w.propose} open><ProposeForm job={job} setup={setup} work={work} artwork={artwork} setArtwork={setArtwork} offer={offer} show={setOffer} take={take} /></Section>
      </div>
    </div>
  );
}

type Shown = "now" | "gain";

/** Which map is shown, and what its colours stand for. */
function MapWords({ shown, show, map }: { shown: Shown; show: (shown: Shown) => void; map: Parameters<typeof rampOf>[0] | null }) {
  const { words, figures } = useShop();
  const w = words.jobs.design;
  const ramp = map && rampOf(map);
  return (
    <div className="map-words">
      <Choice className="compact" label={w.shown} value={shown} onChange={show} options={(["now", "gain"] as const).map((one) => [one, w.maps[one]] as const)} />
      {ramp && (
        <p className="map-legend"><span>{w.from(figures.length(ramp.low), figures.lengthUnit)} {w.better}</span><span className="map-ramp" aria-hidden="true" /><span>{w.from(figures.length(ramp.high), figures.lengthUnit)} {w.worse}</span></p>
      )}
      {ramp?.even && shown === "gain" && <p role="status">{w.even}</p>}
    </div>
  );
}

interface OneMoreProps {
  readonly sheet: Job["sheet"];
  readonly spot: PrintPoint | null;
  readonly setSpot: (spot: PrintPoint) => void;
  readonly gain: GainMap | null;
  readonly add: (at: PrintPoint) => void;
}

/** What one more mark would do at the place that was picked or typed in. */
function OneMore({ sheet, spot, setSpot, gain, add }: OneMoreProps) {
  const { words, figures } = useShop();
  const w = words.jobs.design;
  return (
    <>
      <p className="note">{w.canvasKeys}. {w.oneText}</p>
      <div className="fields two">
        <GivenLength label={words.jobs.edit.x} range="nonnegative" value={spot?.x} onChange={(x) => setSpot({ x, y: spot?.y ?? sheet.height / 2 })} />
        <GivenLength label={words.jobs.edit.y} range="nonnegative" value={spot?.y} onChange={(y) => setSpot({ x: spot?.x ?? sheet.width / 2, y })} />
      </div>
      {spot && gain && <p role="status" ref={intoSight} key={`${spot.x} ${spot.y}`}>{w.oneGain(figures.length(gain.now), figures.length(gainAt(gain, spot)), figures.lengthUnit)}</p>}
      {spot && <Button className="button" onPress={() => add(spot)}>{w.addOne}</Button>}
    </>
  );
}

/** The map's value at a place, mm. */
function gainAt(map: GainMap, at: PrintPoint): number {
  const cell = (v: number, size: number, count: number) => Math.min(count - 1, Math.max(0, Math.floor(v / size)));
  return map.U[cell(at.y, map.height, map.rows) * map.columns + cell(at.x, map.width, map.columns)];
}

function State({ of }: { of: Predicting<unknown> }) {
  const w = useShop().words.jobs.design;
  const sentence = useSentence();
  if (of.kind === "working") return <p className="note" role="status">{w.working}</p>;
  if (of.kind === "failed") return <Fault error={of.error} />;
  if (of.kind === "refused") return <p className="fault" role="alert">{sentence(of.reason)} {sentence(of.hint)}</p>;
  return null;
}
