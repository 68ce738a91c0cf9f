import type { Refusal } from "../../../core/check/record.ts";

/** A picture that cannot be taken in: carries the refusal that goes into the check record. */
export class PictureFault extends Error {
  readonly refusal: Refusal;

  constructor(code: "image-unreadable" | "image-too-large", message: string, hint: string) {
    super(message);
    this.refusal = { code, message, hint };
  }
}

/** The fault of a file that is no picture, or a broken one; `reason` goes on after a colon. */
export function unreadable(reason: string, hint = "Take or scan the picture again, or save it as JPEG, PNG or TIFF."): PictureFault {
  return new PictureFault("image-unreadable", `The picture cannot be read: ${reason}.`, hint);
}

/** The fault of a picture with more pixels than are taken in. */
export function tooLarge(width: number, height: number, maxPixels: number): PictureFault {
  const millions = (pixels: number) => Math.round(pixels / 1e6);
  return new PictureFault(
    "image-too-large",
    `The picture has ${width} x ${height} pixels (${millions(width * height)} million); at most ${millions(maxPixels)} million are taken in.`,
    "Scan at a lower resolution, or save the picture smaller: 300 to 600 dpi is enough.",
  );
}
