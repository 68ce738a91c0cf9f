import { type RefObject, useEffect, useRef, useState } from "react";

export type CameraState =
  | { readonly kind: "starting" }
  | { readonly kind: "live"; readonly cameras: readonly { readonly id: string; readonly label: string }[]; readonly id: string }
  | { readonly kind: "failed"; readonly why: "denied" | "none" | "busy" | "lost" };

/** A live camera on a video element; it is let go when the component goes, or another one is chosen. */
export function useCamera(chosen: string | undefined, turn: number): [CameraState, RefObject<HTMLVideoElement | null>] {
  const video = useRef<HTMLVideoElement>(null);
  const [state, setState] = useState<CameraState>({ kind: "starting" });
  useEffect(() => {
    let stream: MediaStream | undefined;
    let gone = false;
    const start = async () => {
      setState({ kind: "starting" });
      stream = await open(chosen);
      if (gone) return stop(stream);
      const [track] = stream.getVideoTracks();
      track.addEventListener("ended", () => !gone && setState({ kind: "failed", why: "lost" }));
      if (video.current) {
        video.current.srcObject = stream;
        await video.current.play();
      }
      // Names of cameras are told only once one has been allowed.
      const devices = (await navigator.mediaDevices.enumerateDevices()).filter((one) => one.kind === "videoinput");
      const cameras = devices.map(({ deviceId, label }) => ({ id: deviceId, label }));
      if (!gone) setState({ kind: "live", cameras, id: track.getSettings().deviceId ?? "" });
    };
    start().catch((error: Error) => !gone && setState({ kind: "failed", why: reasonOf(error) }));
    return () => {
      gone = true;
      if (stream) stop(stream);
    };
  }, [chosen, turn]);
  return [state, video];
}

/** The largest picture the camera gives; a phone's or laptop's back camera where there is a choice. */
function open(chosen: string | undefined): Promise<MediaStream> {
  if (!navigator.mediaDevices) throw new DOMException("", "NotFoundError");
  const which = chosen ? { deviceId: { exact: chosen } } : { facingMode: "environment" };
  return navigator.mediaDevices.getUserMedia({ audio: false, video: { ...which, width: { ideal: 4096 }, height: { ideal: 3072 } } });
}

function stop(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}

function reasonOf(error: Error): "denied" | "none" | "busy" {
  if (error.name === "NotAllowedError" || error.name === "SecurityError") return "denied";
  return error.name === "NotReadableError" || error.name === "AbortError" ? "busy" : "none";
}
