import fc from "fast-check";
import { expect, test } from "vitest";
import { readJob } from "../../../core/job/read.ts";
import { jobSchema, type Mark } from "../../../core/job/schema.ts";
import type { DrawingView } from "../../../renderer/jobs/worker/protocol.ts";
import { freeId, newMark, reshaped } from "../../../renderer/jobs/edit/changes.ts";
import { begun, changed, redone, settled, undone } from "../../../renderer/jobs/edit/history.ts";
import { draftAsk, firstChoices, placeOf, withMeaning } from "../../../renderer/jobs/import/choices.ts";
import { emptyJob } from "../../../renderer/jobs/list/emptyJob.ts";

test("undo and redo lead back over every change and forth again, whatever the changes", () => {
  fc.assert(fc.property(fc.array(fc.tuple(fc.constantFrom("a", "b", null), fc.integer(), fc.boolean()), { maxLength: 30 }), (edits) => {
    let history = begun(0);
    for (const [tag, value, letGo] of edits) {
      history = changed(history, value, tag);
      if (letGo) history = settled(history);
    }
    const end = history.now;
    const steps = history.past.length;
    for (let i = 0; i < steps; i++) history = undone(history);
    expect(history.now).toBe(0);
    expect(undone(history).now).toBe(0);
    for (let i = 0; i < steps; i++) history = redone(history);
    expect(history.now).toBe(end);
    expect(redone(history).now).toBe(end);
  }));
});

test("changing one thing is one step until it is let go, another thing begins the next, and a change after undo drops what was undone", () => {
  let h = changed(changed(begun(1), 12, "width"), 123, "width");
  expect(h.past).toEqual([1]);
  h = changed(h, 124, "height");
  expect(h.past).toEqual([1, 123]);
  h = changed(settled(h), 125, "height");
  expect(h.past).toEqual([1, 123, 124]);
  expect(changed(h, 125, "height")).toBe(h);
  h = changed(undone(h), 7, "height");
  expect([h.past, h.future]).toEqual([[1, 123, 124], []]);
  // Choices are steps by themselves.
  expect(changed(changed(begun(1), 2, null), 3, null).past).toEqual([1, 2]);
});

test("a mark changed from any shape to any other is a mark of the job file, about as large, in its place", () => {
  const marks: Mark[] = [
    { id: "M1", shape: "dot", x: 1, y: 2, diameter: 6 }, { id: "M2", shape: "ring", x: 1, y: 2, outer: 8, inner: 5, tone: "light" },
    { id: "M3", shape: "cross", x: 1, y: 2, size: 10, stroke: 1, angle: 45 }, { id: "M4", shape: "checker", x: 1, y: 2, diameter: 10 }, { id: "M5", shape: "square", x: 1, y: 2, size: 6 },
  ];
  for (const mark of marks) {
    for (const { shape } of marks) {
      const changedMark = reshaped(mark, shape);
      expect(jobSchema.shape.marks.element.parse(changedMark)).toEqual(changedMark);
      expect(changedMark).toMatchObject({ id: mark.id, shape, x: 1, y: 2 });
      expect(changedMark.tone).toBe(mark.tone);
    }
  }
});

test("new marks have ids of their own and spread over the sheet's edge; the empty job is a job without a warning", () => {
  let job = { ...emptyJob("New job"), marks: [] as Mark[] };
  for (let i = 0; i < 6; i++) job = { ...job, marks: [...job.marks, newMark(job)] };
  expect(new Set(job.marks.map((m) => m.id)).size).toBe(6);
  const apart = job.marks.flatMap((a, i) => job.marks.slice(i + 1).map((b) => Math.hypot(a.x - b.x, a.y - b.y)));
  expect(Math.min(...apart)).toBeGreaterThan(200);
  expect(freeId("M", [{ id: "M2" }])).toBe("M3");
  expect(readJob(emptyJob("New job"))).toMatchObject({ ok: true, warnings: [] });
});

const view: DrawingView = {
  groups: [{ name: "die", kind: "layer" }, { name: "dots", kind: "layer" }], page: null, boxes: {}, pages: 1, pageNumber: 1, notes: [], counts: [1, 2], proposed: ["cut", "nothing"], lines: null,
  candidates: [{ outlines: [4], group: 1, mark: { shape: "dot", x: 1, y: 1, diameter: 6 } }, { outlines: [5], group: 1, mark: { shape: "dot", x: 9, y: 1, diameter: 6 } }],
  extent: [20, 20, 480, 280],
};

test("marks come and go with their layer's meaning", () => {
  const first = firstChoices(view, "seed tray.dxf", "tray");
  expect([first.id, first.marks.size]).toEqual(["seed tray", 0]);
  const taken = withMeaning(first, view, 1, "mark");
  expect(draftAsk(taken).marks).toEqual([0, 1]);
  expect(withMeaning(taken, view, 1, "cut").marks.size).toBe(0);
});

test("a drawing without a page: the origin is the sheet's corner where margins look like it, else the sheet is put round the drawing", () => {
  expect(placeOf(view)).toEqual({ sheet: { width: 500, height: 300 }, shift: { x: 0, y: 0 } });
  expect(placeOf({ page: null, extent: [-30, 5000, 70, 5100] })).toEqual({ sheet: { width: 100, height: 100 }, shift: { x: 30, y: -5000 } });
  expect(placeOf({ page: { width: 1000, height: 700 }, extent: [0, 0, 1, 1] })).toEqual({ sheet: { width: 1000, height: 700 }, shift: { x: 0, y: 0 } });
});
