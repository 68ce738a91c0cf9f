import { z } from "zod";
import { SCANNER_PARAMETERS } from "./scanner.ts";
import { LENS_PARAMETERS } from "./lens.ts";

/** The profile file `kerfmark.camera/1` of a camera or a scanner. DEVELOPERS.md describes it key by key. */

const real = z.number().finite();
const positive = real.positive();
const whole = z.number().int();
const pair = z.strictObject({ x: real, y: real });

const exifSchema = z.strictObject({
  make: z.string().optional(),
  model: z.string().optional(),
  lensModel: z.string().optional(),
  focalLength: positive.optional(),
  focalLength35: positive.optional(),
});

const findingSchema = z.strictObject({
  /** `fault`: do it again; `weak`: usable, with a larger uncertainty; `note`: nothing to do. */
  level: z.enum(["fault", "weak", "note"]),
  code: z.enum([
    "few-pictures", "few-points", "few-tilts", "corners-not-covered", "moved-focus", "mixed-pictures", "large-residuals", "bad-picture",
    "uncertain-corners", "one-direction", "not-flat", "not-measured",
  ]),
  message: z.string(),
});

const residualMapSchema = z.strictObject({
  columns: whole.positive(),
  rows: whole.positive(),
  /** Mean residual (seen - predicted) of each cell, px, row by row from the picture's upper left; null where no point lies. */
  dx: z.array(real.nullable()),
  dy: z.array(real.nullable()),
  count: z.array(whole.nonnegative()),
}).refine((m) => [m.dx, m.dy, m.count].every((a) => a.length === m.columns * m.rows), { error: "expected columns x rows values in dx, dy and count" });

const shared = {
  format: z.literal("kerfmark.camera/1"),
  name: z.string().min(1),
  /** Day of the calibration, ISO 8601. */
  date: z.iso.date(),
  exif: exifSchema,
  /** Size of the pictures as the sensor delivers them, before any turn by EXIF. */
  picture: z.strictObject({ width: whole.positive(), height: whole.positive() }),
  target: z.string().min(1),
  pictures: whole.positive(),
  points: whole.positive(),
  /** Root mean square residual, px: sqrt(sum of squared distances / points). */
  rms: real.nonnegative(),
  residuals: residualMapSchema,
  verdict: z.strictObject({ grade: z.enum(["good", "usable", "poor"]), findings: z.array(findingSchema) }),
};

const square = (n: number) => z.array(z.array(real).length(n)).length(n);

const cameraProfileSchema = z.strictObject({
  ...shared,
  kind: z.literal("camera"),
  lens: z.strictObject({ fx: positive, fy: positive, cx: real, cy: real, k1: real, k2: real, p1: real, p2: real, k3: real }),
  /** Which lens terms were estimated; the others are fixed at zero. */
  estimated: z.array(z.enum(LENS_PARAMETERS)),
  /** Covariance of fx, fy, cx, cy, k1, k2, p1, p2, k3 (zero rows for those that were not estimated). */
  covariance: square(LENS_PARAMETERS.length),
});

const scannerProfileSchema = z.strictObject({
  ...shared,
  kind: z.literal("scanner"),
  pxPerMm: z.strictObject({ x: positive, y: positive }),
  /** mm/m. */
  squareness: real,
  bow: pair,
  run: pair,
  /** Covariance of pxPerMm.x, pxPerMm.y, squareness, bow.x, bow.y, run.x, run.y. */
  covariance: square(SCANNER_PARAMETERS.length),
});

export const profileSchema = z.discriminatedUnion("kind", [cameraProfileSchema, scannerProfileSchema]);

export type CameraProfile = z.infer<typeof cameraProfileSchema>;
export type ScannerProfile = z.infer<typeof scannerProfileSchema>;
export type Profile = z.infer<typeof profileSchema>;
export type Finding = z.infer<typeof findingSchema>;
export type ResidualMap = z.infer<typeof residualMapSchema>;
