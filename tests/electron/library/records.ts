import { createHash } from "node:crypto";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Measured, Overlay, Refused } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { KeptPicture } from "../../../electron/host/library/pictures.ts";

/** An empty folder for a library. */
export const freshFolder = (): string => mkdtempSync(join(tmpdir(), "kerfmark-library-"));

/** A small job of the demo shop's: one blank of 1000 mm outline and a crease of 300 mm. */
export function trayJob(changes: Partial<Job> = {}): Job {
  return {
    format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray", sheet: { width: 1000, height: 700, thickness: 1.6 }, cutFrom: "print", flip: "x",
    marks: [{ id: "M1", shape: "dot", x: 20, y: 20, diameter: 6 }, { id: "M2", shape: "dot", x: 980, y: 20, diameter: 6 }, { id: "M3", shape: "dot", x: 980, y: 680, diameter: 6 }],
    codes: [], state: "in-sheet", tolerance: { position: 0.5 },
    cuts: [{ id: "blank", kind: "cut", path: "M 100 100 L 400 100 L 400 300 L 100 300 Z" }, { id: "fold", kind: "crease", path: "M 100 200 L 400 200" }],
    ...changes,
  };
}

/** A measured record with the given sheet and worst deviation; the other values follow from it, each in its own way. */
export function measured(sheet: string | undefined, worst: number, changes: Partial<Measured> = {}): Measured {
  return {
    format: "kerfmark.check/1", image: `sheet-${sheet ?? "x"}.jpg`, job: "TRAY-7", ...(sheet !== undefined && { sheet }), status: "measured",
    verdict: Math.abs(worst) < 0.45 ? "in" : Math.abs(worst) > 0.55 ? "out" : "unsure",
    view: { turn: 0.4, mirrored: false, pxPerMm: 4, tilt: 3, kind: "projective", lens: { source: "none" } }, model: "affine",
    offset: { x: worst / 2, y: -worst / 4, length: Math.hypot(worst / 2, worst / 4), U: 0.02 }, rotation: { value: worst / 3, U: 0.05 },
    skew: { value: 0.01, U: 0.06 }, scale: { x: -0.1, y: 0.1, U: 0.05 }, worst: { value: worst, U: 0.03, feature: "blank", x: 400, y: 300 },
    features: [{ id: "blank", kind: "cut", mean: 0.01, max: worst, rms: 0.1, U: 0.03, coverage: 0.97 }, { id: "fold", kind: "crease", mean: 0, max: -worst / 5, rms: 0.1, U: 0.04, coverage: 0.9 }],
    marks: [], judged: [{ what: "position", value: Math.abs(worst), U: 0.03, limit: 0.5, verdict: "in", conformity: 0.99 }],
    correction: { frame: "cutter", x: -worst / 2, y: worst / 4, rotation: -worst / 3, scaleX: 0.1, scaleY: -0.1 }, budget: [], warnings: [], ...changes,
  };
}

export const overlay: Overlay = {
  homography: [4, 0, 100, 0, -4, 2900, 0, 0, 1], lens: null,
  stretches: Array.from({ length: 130 }, (_, i) => ({ feature: "blank", x: 100 + i, y: 100 + i / 3, nx: 0, ny: -1, value: Math.sin(i) / 10, U: 0.03 })),
};

export const refused: Refused = {
  format: "kerfmark.check/1", image: "dark.jpg", job: "TRAY-7", status: "refused", verdict: null, warnings: [],
  refusal: { code: "marks-not-found", message: "None of the marks was found.", hint: "Take the picture again with the whole sheet in it." },
};

/** A picture known by a word; no file stands behind it. */
export function picture(word: string): KeptPicture {
  return { sha256: createHash("sha256").update(word).digest("hex"), path: `/pictures/${word}.jpg`, bytes: 1000, copied: false };
}

/** Capture times one second apart. */
export const second = (i: number): string => `2026-03-02T08:00:00.000`.replace("08:00:00", new Date(i * 1000).toISOString().slice(11, 19));
