/**
 * A decoded picture, the only form in which pixels enter core. The EXIF orientation is applied, alpha is laid over
 * white, CMYK is converted to RGB. Samples are interleaved, row by row, and still coded with the file's transfer curve:
 * edges are located on linear light, so whoever samples converts (see light.ts).
 */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** 1 = grey, 3 = RGB. */
  readonly channels: 1 | 3;
  /** 8-bit samples are 0..255 in a Uint8Array, 16-bit ones 0..65535 in a Uint16Array. */
  readonly data: Uint8Array | Uint16Array;
  /** How samples relate to light: "srgb" (IEC 61966-2-1) or "linear". */
  readonly transfer: "srgb" | "linear";
  /** Pixels per inch as the file states them, if it does (72 in a JPEG is no evidence). Not trusted for lengths. */
  readonly density?: { readonly x: number; readonly y: number };
  /** What the file says of the camera; used to pair a picture with its profile. */
  readonly exif?: PictureExif;
}

export interface PictureExif {
  readonly make?: string;
  readonly model?: string;
  readonly lensModel?: string;
  /** Focal length, mm. */
  readonly focalLength?: number;
  /** Focal length scaled to a 36 x 24 mm film frame, mm. */
  readonly focalLength35?: number;
  /** Capture time as ISO 8601 text without a zone, as EXIF gives it. */
  readonly takenAt?: string;
  /** The EXIF orientation (1 to 8) that has been applied to the pixels: how the sensor's own picture was turned. */
  readonly orientation?: number;
}
