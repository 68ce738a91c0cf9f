import { type KeyboardEvent, useState } from "react";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import { markSize } from "../../../core/job/markSize.ts";
import { datumOf } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import { ownerAt, type StyleOf } from "../canvas/drawLines.ts";
import type { Grip } from "../canvas/useHold.ts";
import { tidy, withAt } from "./changes.ts";
import type { Chosen } from "./chosen.ts";
import type { CutLines } from "./useCutLines.ts";
import type { JobDoc } from "./useJobDoc.ts";

/** A drag lands on tenths of a millimetre. */
const SNAP = 0.1;

interface Hand {
  readonly holding: boolean;
  pick(at: PrintPoint, reach: number): void;
  gripAt(at: PrintPoint, reach: number): Grip | null;
  onKey(event: KeyboardEvent): boolean;
}

/** Choosing and moving what lies on the sheet, by pointer and by keys. */
export function useHandling(job: DraftJob, { edit, settle }: Pick<JobDoc, "edit" | "settle">, chosen: Chosen, choose: (chosen: Chosen) => void, cutLines: CutLines, styleOf: StyleOf): Hand {
  const [holding, setHolding] = useState(false);
  const held = holding && chosen !== null && chosen.kind !== "cut";

  const gripAt = (at: PrintPoint, reach: number): Grip | null => {
    const hit = hitAt(job, at, reach);
    const from = hit && placeOf(job, hit);
    if (!from) return null;
    let moved = false;
    return {
      move(to) {
        if (!moved) choose(hit);
        moved = true;
        edit("drag", (now) => movedTo(now, hit, snap(from.x + to.x - at.x), snap(from.y + to.y - at.y)));
      },
      drop: settle,
    };
  };

  const hold = (on: boolean) => {
    setHolding(on);
    settle();
  };

  const step = (by: 1 | -1) => {
    const all: Chosen[] = [...job.marks.map((_, index) => ({ kind: "mark" as const, index })), ...job.codes.map((_, index) => ({ kind: "code" as const, index })), { kind: "datum" as const }];
    const now = all.findIndex((one) => sameThing(one, chosen));
    choose(all[now < 0 ? (by > 0 ? 0 : all.length - 1) : (now + by + all.length) % all.length]);
  };

  const onKey = (event: KeyboardEvent): boolean => {
    if (event.ctrlKey || event.metaKey || event.altKey) return false;
    const key = event.key.toLowerCase();
    if (key === "n" || key === "p") step(key === "n" ? 1 : -1);
    else if (key === "enter" && chosen && chosen.kind !== "cut") hold(!held);
    else if (key === "escape" && held) hold(false);
    else if (held && ARROWS[event.key]) {
      const [dx, dy] = ARROWS[event.key];
      const far = event.shiftKey ? 0.1 : 1;
      const from = placeOf(job, chosen);
      if (from) edit(`keys ${JSON.stringify(chosen)}`, (now) => movedTo(now, chosen, tidy(from.x + dx * far), tidy(from.y + dy * far)));
    } else return false;
    return true;
  };

  return {
    holding: held, gripAt, onKey,
    pick(at, reach) {
      hold(false);
      const hit = hitAt(job, at, reach);
      if (hit) return choose(hit);
      const index = cutLines.lines && ownerAt(cutLines.lines, at, reach, styleOf);
      choose(index === null ? null : { kind: "cut", index });
    },
  };
}

const ARROWS: Readonly<Record<string, readonly [number, number]>> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

function snap(v: number): number {
  return tidy(Math.round(v / SNAP) * SNAP);
}

function sameThing(a: Chosen, b: Chosen): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** The mark, code or datum under a place. */
function hitAt(job: DraftJob, at: PrintPoint, reach: number): Exclude<Chosen, null> | null {
  const near = (p: PrintPoint, half: number) => Math.hypot(p.x - at.x, p.y - at.y) <= Math.max(half, reach);
  const mark = job.marks.findIndex((m) => near(m, markSize(m) / 2));
  if (mark >= 0) return { kind: "mark", index: mark };
  const code = job.codes.findIndex((c) => Math.max(Math.abs(c.x - at.x), Math.abs(c.y - at.y)) <= Math.max(c.size / 2, reach));
  if (code >= 0) return { kind: "code", index: code };
  return near(datumOf(job), 0) ? { kind: "datum" } : null;
}

function placeOf(job: DraftJob, chosen: Chosen): PrintPoint | null {
  if (chosen === null || chosen.kind === "cut") return null;
  if (chosen.kind === "datum") return datumOf(job);
  return (chosen.kind === "mark" ? job.marks : job.codes)[chosen.index] ?? null;
}

/** The job with the thing moved; it stays on the sheet. */
function movedTo(job: DraftJob, chosen: Chosen, x: number, y: number): DraftJob {
  const at = { x: Math.min(job.sheet.width, Math.max(0, x)), y: Math.min(job.sheet.height, Math.max(0, y)) };
  if (chosen?.kind === "mark") return { ...job, marks: withAt(job.marks, chosen.index, (m) => ({ ...m, ...at })) };
  if (chosen?.kind === "code") return { ...job, codes: withAt(job.codes, chosen.index, (c) => ({ ...c, ...at })) };
  return chosen?.kind === "datum" ? { ...job, datum: at } : job;
}
