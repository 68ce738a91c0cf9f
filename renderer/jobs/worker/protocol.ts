import type { BoxName, UnitName } from "../../../core/job/import/read.ts";
import type { Contribution } from "../../../core/design/contributions.ts";
import type { Prediction, UncertaintyMap } from "../../../core/design/predict.ts";
import type { Box } from "../../../core/geometry/polygon.ts";
import type { MarkWish, Proposal } from "../../../core/design/propose.ts";
import type { Setup } from "../../../core/design/setup.ts";
import type { NoView } from "../../../core/design/viewpoint.ts";
import type { WitnessWish } from "../../../core/design/witnesses.ts";
import type { Exported, ExportOptions } from "../../../core/job/export/overlay.ts";
import type { Drawing, Meaning } from "../../../core/job/import/drawing.ts";
import type { MarkCandidate } from "../../../core/job/import/candidates.ts";
import type { Preset } from "../../../core/job/import/meaning.ts";
import type { Cut, Job, Mark } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import type { Lines } from "../canvas/lines.ts";

/** A drawing as the screen needs it; the drawing itself stays with the worker. */
export interface DrawingView extends Pick<Drawing, "groups" | "page" | "boxes" | "pages" | "notes"> {
  /** The page that was read, from 1: not always the one asked for, where that has no lines. */
  readonly pageNumber: number;
  /** Lines of each group. */
  readonly counts: readonly number[];
  readonly proposed: readonly Meaning[];
  /** What has a mark's shape and size. */
  readonly candidates: readonly MarkCandidate[];
  /** Lines by group. */
  readonly lines: Lines | null;
  /** The smallest upright rectangle round everything drawn: left, bottom, right, top, mm. */
  readonly extent: readonly [number, number, number, number];
}

export type ReadAnswer =
  | { readonly ok: true; readonly view: DrawingView }
  /** The file does not say its unit; what is drawn is this large in drawing units. */
  | { readonly ok: false; readonly needs: "unit"; readonly width: number; readonly height: number }
  | { readonly ok: false; readonly needs?: undefined; readonly reason: string; readonly hint: string };

export interface DraftAsk {
  readonly meanings: readonly Meaning[];
  /** Candidates that the reader takes for marks, by their places in the list. */
  readonly marks: readonly number[];
  /** The sheet where it is not the drawing's page, mm. */
  readonly sheet?: { readonly width: number; readonly height: number };
  /** Where the drawing's origin lies on the sheet, mm. */
  readonly shift: { readonly x: number; readonly y: number };
  readonly id: string;
  readonly name: string;
  readonly piece: string;
  readonly join: number;
}

/** The job that a drawing makes, in figures: it may be large, and stays with the worker until it is taken. */
export interface DraftAnswer {
  readonly cuts: number;
  readonly creases: number;
  readonly marks: number;
  readonly notes: readonly string[];
  /** How many pieces there are of each kind, the most frequent first. */
  readonly pieces: readonly number[];
}

export interface Finding {
  /** Where in the job, as `marks[2].x`; empty for the job as a whole. */
  readonly path: string;
  readonly message: string;
}

export interface Predicted {
  readonly ok: true;
  readonly prediction: Prediction;
  /** Worst U without each mark, mm. */
  readonly contributions: readonly Contribution[];
}

/** Worst U with one more mark in the middle of each cell, mm. */
export type GainMap = { readonly ok: true; readonly now: number } & UncertaintyMap;

export type OutFormat = "pdf" | "svg" | "dxf";

/** What is asked of the worker, and what it answers. */
export interface Asks {
  read: { ask: { bytes: ArrayBuffer; name: string; unit?: UnitName; page: number; box: BoxName }; answer: ReadAnswer };
  meanings: { ask: { preset?: Preset }; answer: readonly Meaning[] };
  draft: { ask: DraftAsk; answer: DraftAnswer | null };
  /** The job last drafted. */
  take: { ask: null; answer: Job | null };
  lines: { ask: { cuts: readonly Cut[] }; answer: Lines | null };
  predict: { ask: { job: Job; setup: Setup }; answer: Predicted | NoView };
  gain: { ask: { job: Job; setup: Setup; mark: Mark }; answer: GainMap | NoView };
  propose: { ask: { job: Job; setup: Setup; wish: MarkWish }; answer: Proposal | NoView };
  artwork: { ask: { bytes: ArrayBuffer; name: string; sheet: Job["sheet"] }; answer: { readonly ok: true; readonly boxes: readonly Box[]; readonly notes: readonly string[] } | NoView };
  witnesses: { ask: { job: Job; wish: WitnessWish }; answer: { readonly ok: true; readonly marks: readonly Mark[]; readonly cuts: readonly Cut[] } | NoView };
  overlay: { ask: { job: Job; format: OutFormat; options: ExportOptions }; answer: Exported<Uint8Array<ArrayBuffer> | string> };
  numbered: { ask: { job: Job; from: number; count: number; digits: number; marks: boolean }; answer: Exported<Uint8Array<ArrayBuffer>> };
  check: { ask: { job: DraftJob }; answer: { readonly faults: readonly Finding[]; readonly warnings: readonly string[] } };
}

export type AskKind = keyof Asks;

export interface AskMessage<K extends AskKind = AskKind> {
  readonly serial: number;
  readonly kind: K;
  readonly ask: Asks[K]["ask"];
}

export type AnswerMessage = { readonly serial: number } & ({ readonly answer: Asks[AskKind]["answer"] } | { readonly failed: string });
