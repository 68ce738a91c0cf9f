import { type RefObject, useEffect, useState } from "react";
import { Button } from "react-aria-components";
import type { Job } from "../../core/job/schema.ts";
import { desk } from "../desk/useDesk.ts";
import { Fault } from "../frame/Fault.tsx";
import { Icon } from "../frame/Icon.tsx";
import { Intake } from "../frame/Intake.tsx";
import { useShop, useWords } from "../settings/useSettings.tsx";
import { type Aim, aimsOf } from "./aim.ts";
import { type Look, lookAt, takePicture } from "./frames.ts";
import { useCamera } from "./useCamera.ts";

/** Shortest time between two looks at the live picture, ms. */
const BETWEEN_LOOKS_MS = 250;

/** A camera's live picture with what it promises, and the shutter. */
export default function CameraPanel({ job, onClose }: { job: Job; onClose: () => void }) {
  const words = useWords();
  const [chosen, setChosen] = useState<string>();
  const [turn, setTurn] = useState(0);
  const [state, video] = useCamera(chosen, turn);
  const [look, fault] = useLooks(video, job, state.kind === "live");
  const [failed, setFailed] = useState<Error | null>(null);
  const shoot = () => {
    if (video.current) takePicture(video.current, new Date()).then((file) => desk.add([file]), setFailed);
  };
  return (
    <Intake icon="camera" title={words.camera.title} className="camera" onClose={onClose}>
      {(failed ?? fault) && <Fault error={(failed ?? fault) as Error} />}
      <div className="camera-body">
        <div className="camera-view">
          <video ref={video} muted playsInline aria-label={words.camera.live} />
          {state.kind === "live" && look && <MarkRings look={look} />}
          {state.kind === "starting" && <p className="camera-note" role="status">{words.camera.starting}</p>}
          {state.kind === "failed" && (
            <div className="camera-note" role="alert">
              <p><strong>{words.camera.faults[state.why].message}</strong> {words.camera.faults[state.why].hint}</p>
              <Button className="button" onPress={() => setTurn(turn + 1)}>{words.common.tryAgain}</Button>
            </div>
          )}
        </div>
        <div className="camera-side">
          {state.kind === "live" && state.cameras.length > 1 && (
            <label className="field">
              {words.camera.which}
              <select value={state.id} onChange={(event) => setChosen(event.target.value)}>
                {state.cameras.map((one, i) => <option key={one.id} value={one.id}>{one.label || `${words.camera.title} ${i + 1}`}</option>)}
              </select>
            </label>
          )}
          <Readings look={look} />
          <Button className="main-button shutter" isDisabled={state.kind !== "live"} onPress={shoot}><Icon name="camera" />{words.camera.shutter}</Button>
          <p className="note">{words.camera.caution}</p>
        </div>
      </div>
    </Intake>
  );
}

/** Looks at the live picture again and again, one look at a time, while it is seen. */
function useLooks(video: RefObject<HTMLVideoElement | null>, job: Job, live: boolean): [Look | null, Error | null] {
  const [look, setLook] = useState<Look | null>(null);
  const [fault, setFault] = useState<Error | null>(null);
  useEffect(() => {
    if (!live) return;
    const stopper = new AbortController();
    const go = async () => {
      while (!stopper.signal.aborted) {
        if (video.current?.videoWidth && !document.hidden) setLook(await lookAt(video.current, job, stopper.signal));
        await new Promise((resolve) => setTimeout(resolve, BETWEEN_LOOKS_MS));
      }
    };
    go().catch((error: Error) => !stopper.signal.aborted && setFault(error));
    return () => stopper.abort();
  }, [video, job, live]);
  return [live ? look : null, fault];
}

function MarkRings({ look }: { look: Look }) {
  const r = Math.hypot(look.width, look.height) / 60;
  return (
    <svg className="camera-rings" viewBox={`0 0 ${look.width} ${look.height}`} aria-hidden="true">
      {look.preview.marks.map((at) => <g key={`${at.x} ${at.y}`}><circle className="halo" cx={at.x} cy={at.y} r={r} /><circle cx={at.x} cy={at.y} r={r} /></g>)}
    </svg>
  );
}

function Readings({ look }: { look: Look | null }) {
  const { words, figures } = useShop();
  const w = words.camera;
  if (!look) return <p className="quiet-line" role="status">{w.looking}</p>;
  const { preview, factor } = look;
  const aims = aimsOf(preview, factor);
  const rows: readonly (readonly [string, Aim, string])[] = [
    [words.values.marksTitle, aims.marks, words.common.of(String(preview.marks.length), String(preview.of))],
    [w.sharpness, aims.sharpness, aims.blur === null ? "–" : `${w.sharp[aims.sharpness]} (${figures.number(aims.blur, 1)} px)`],
    [words.values.tilt, aims.tilt, preview.tilt === null ? "–" : `${figures.number(preview.tilt, 0)}°`],
  ];
  return (
    <>
      <dl className="readings">
        {rows.map(([name, aim, text]) => (
          <div key={name} data-aim={aim}><dt>{name}</dt><dd><span aria-hidden="true">{SIGNS[aim]}</span> {text}<span className="unseen">, {w.aims[aim]}</span></dd></div>
        ))}
      </dl>
      <p className="advice" role="status">{w.advice[aims.advice]}</p>
    </>
  );
}

const SIGNS: Record<Aim, string> = { good: "✓", doubtful: "!", poor: "✗" };
