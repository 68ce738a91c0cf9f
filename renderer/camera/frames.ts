import type { SheetPreview } from "../../core/check/preview.ts";
import type { Job } from "../../core/job/schema.ts";
import { findingFactor, scaleRange } from "../../core/marks/find.ts";
import { read } from "../frame/client.ts";

/** A look at the live picture: what was found, in pixels of a frame of this size, and by how much that was reduced. */
export interface Look {
  readonly preview: SheetPreview;
  readonly width: number;
  readonly height: number;
  readonly factor: number;
}

/** Marks are found at the reduction that core gives; their shape and sharpness are seen at three times that fineness. */
const FINER = 3;

/** Sends a frame, reduced as far as the job's finest mark allows, to be looked at. */
export async function lookAt(video: HTMLVideoElement, job: Job, signal: AbortSignal): Promise<Look> {
  const size = { width: video.videoWidth, height: video.videoHeight };
  const factor = Math.max(1, Math.floor(findingFactor(job, scaleRange(job, size).likely) / FINER));
  const width = Math.round(size.width / factor);
  const height = Math.round(size.height / factor);
  const body = await grab(video, width, height, 0.9);
  const preview = await read<SheetPreview>(fetch("/api/pictures/preview", { method: "POST", body, signal }));
  return { preview, width, height, factor };
}

/** The present frame at full size, as a file. */
export async function takePicture(video: HTMLVideoElement, now: Date): Promise<File> {
  const blob = await grab(video, video.videoWidth, video.videoHeight, 0.96);
  const time = new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 19).replace(/\D/g, "-");
  return new File([blob], `camera-${time}.jpg`, { type: "image/jpeg" });
}

async function grab(video: HTMLVideoElement, width: number, height: number, quality: number): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext("2d");
  if (!context) throw new Error("This browser gives no canvas.");
  context.imageSmoothingQuality = "high";
  context.drawImage(video, 0, 0, width, height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("The camera's picture could not be kept."))), "image/jpeg", quality);
  });
}
