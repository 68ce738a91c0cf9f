/** The check record `kerfmark.check/1`: what one picture says of one sheet (contract section 3). */

export type Verdict = "in" | "out" | "unsure";

export type RefusalCode =
  | "image-unreadable"
  | "image-too-large"
  | "too-blurred"
  | "marks-not-found"
  | "marks-ambiguous"
  | "wrong-job"
  | "cuts-not-found"
  | "resolution-too-low";

export interface Refusal {
  readonly code: RefusalCode;
  /** One sentence: what is wrong. */
  readonly message: string;
  /** One sentence: what to do. */
  readonly hint: string;
}

export interface LensReport {
  /** "none": the plain view suffices; "self": estimated from this picture; "profile": from a camera or scanner profile. */
  readonly source: "none" | "self" | "profile";
  /** Name and date of that profile. */
  readonly profile?: string;
  readonly k1?: number;
  readonly k2?: number;
  readonly p1?: number;
  readonly p2?: number;
  readonly k3?: number;
  readonly cx?: number;
  readonly cy?: number;
}

export interface ViewReport {
  /** Degrees, counter-clockwise as seen, from the picture's up to the print's +y axis. */
  readonly turn: number;
  readonly mirrored: boolean;
  readonly pxPerMm: number;
  /** Degrees between the sheet's normal and the optical axis; 0 for a scan. */
  readonly tilt: number;
  /** "affine" for a flat scan, "projective" for a photo. */
  readonly kind: "affine" | "projective";
  readonly lens: LensReport;
}

/** `affine`: six terms; `projective`: eight, `curved`: twelve; the others where the cuts support fewer: `orthogonal` has no lean, `similarity` one stretch. */
export type CutModel = "affine" | "projective" | "curved" | "orthogonal" | "similarity" | "rigid" | "shift";

/** What is known of a cut or crease. Where nothing of it was found (`coverage` 0) its values are what the map of all others says there, and U reaches as far as it was sought. */
export interface FeatureReport {
  readonly id: string;
  readonly kind: "cut" | "crease";
  /** Deviation along the feature, mm, contract signs. */
  readonly mean: number;
  readonly max: number;
  readonly rms: number;
  /** Expanded uncertainty of `max`, mm. */
  readonly U: number;
  /** Share of the path that was found, 0..1. */
  readonly coverage: number;
}

/** A stretch of about 10 mm of path with its measured deviation; what the screens draw. */
export interface StretchReport {
  readonly feature: string;
  /** Middle of the stretch, print frame, mm. */
  readonly x: number;
  readonly y: number;
  /** Unit normal at the middle (contract: away from the enclosed area, or left of travel). */
  readonly nx: number;
  readonly ny: number;
  readonly value: number;
  readonly U: number;
}

export interface MarkReport {
  readonly id: string;
  readonly found: boolean;
  /** Picture pixels; absent when not found. */
  readonly x?: number;
  readonly y?: number;
  /** Distance between the mark as seen and as the view predicts it, mm. */
  readonly residual?: number;
}

/** What a witness (a printed ring with a hole cut in its middle) says by itself: free of lens and view, and of what cuts elsewhere do. */
export interface WitnessReport {
  /** Ids of the ring and of the hole. */
  readonly ring: string;
  readonly hole: string;
  /** Its place, print frame, mm. */
  readonly x: number;
  readonly y: number;
  /** Cut minus print there, mm, `U` of x and of y (the larger); absent where it was not read. */
  readonly offset?: { readonly x: number; readonly y: number; readonly length: number; readonly U: number };
  /** What all cuts together say of the same place, mm. */
  readonly common: { readonly x: number; readonly y: number };
  /** Why it was not read, one sentence. */
  readonly reason?: string;
}

export type JudgedQuantity = "position" | "offset" | "rotation" | "skew" | "scale" | "crease";

export interface Judged {
  readonly what: JudgedQuantity;
  /** The size of the value: mm, or mm/m. */
  readonly value: number;
  readonly U: number;
  readonly limit: number;
  readonly verdict: Verdict;
  /** Probability of conformity, 0..1 (JCGM 106:2012). */
  readonly conformity: number;
}

/** What to add to the cutter's own settings to undo the error, cutter frame; mm and mm/m. */
export interface Correction {
  readonly frame: "cutter";
  readonly x: number;
  readonly y: number;
  readonly rotation: number;
  readonly scaleX: number;
  readonly scaleY: number;
}

/** One line of the uncertainty budget (JCGM 100:2008): a source, its standard uncertainty and what it adds. */
export interface BudgetLine {
  readonly source: string;
  readonly type: "A" | "B";
  /** Standard uncertainty of the source, in its own unit. */
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty it contributes to the worst deviation, mm. */
  readonly contribution: number;
}

export interface Measured {
  readonly format: "kerfmark.check/1";
  readonly image: string;
  readonly job: string;
  readonly sheet?: string;
  readonly status: "measured";
  readonly verdict: Verdict;
  readonly view: ViewReport;
  readonly model: CutModel;
  readonly offset: { readonly x: number; readonly y: number; readonly length: number; readonly U: number };
  readonly rotation: { readonly value: number; readonly U: number };
  readonly skew: { readonly value: number; readonly U: number };
  readonly scale: { readonly x: number; readonly y: number; readonly U: number };
  readonly worst: { readonly value: number; readonly U: number; readonly feature: string; readonly x: number; readonly y: number };
  readonly features: readonly FeatureReport[];
  readonly marks: readonly MarkReport[];
  /** Absent where the job has no witnesses. */
  readonly witnesses?: readonly WitnessReport[];
  readonly judged: readonly Judged[];
  readonly correction: Correction;
  readonly budget: readonly BudgetLine[];
  readonly warnings: readonly string[];
}

export interface Refused {
  readonly format: "kerfmark.check/1";
  readonly image: string;
  readonly job: string;
  readonly sheet?: string;
  readonly status: "refused";
  readonly verdict: null;
  readonly refusal: Refusal;
  readonly warnings: readonly string[];
}

export type CheckRecord = Measured | Refused;

/**
 * What the screens draw over the picture, beside the record and not part of it. `printToPicture` carries the nominal
 * paths into the picture; `stretches` hold the deviation along the cuts.
 */
export interface Overlay {
  /** Row-major 3x3, print (mm) to ideal picture (px), before the lens. */
  readonly homography: readonly number[];
  readonly lens: import("../camera/lens.ts").Lens | null;
  readonly stretches: readonly StretchReport[];
}

/** The whole outcome of a check: the record to keep, and the overlay where the sheet was measured. */
export interface CheckOutcome {
  readonly record: CheckRecord;
  readonly overlay?: Overlay;
}
