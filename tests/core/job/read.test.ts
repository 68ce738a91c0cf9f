import fc from "fast-check";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";
import { describeAmbiguity, layoutAmbiguities } from "../../../core/job/layout.ts";
import { readJob } from "../../../core/job/read.ts";
import { datumOf, jobSchema, type Mark } from "../../../core/job/schema.ts";

const good = {
  format: "kerfmark.job/1",
  id: "TRAY-7",
  name: "Shelf tray",
  sheet: { width: 1000, height: 700 },
  cutFrom: "reverse",
  marks: [
    { id: "M1", shape: "dot", x: 20, y: 20, diameter: 6 },
    { id: "M2", shape: "ring", x: 980, y: 20, outer: 8, inner: 5 },
    { id: "M3", shape: "cross", x: 980, y: 680, size: 10, stroke: 1 },
  ],
  cuts: [{ id: "blank", kind: "cut", path: "M 100 100 L 400 100 L 400 300 L 100 300 Z" }],
  state: "in-sheet",
  tolerance: { position: 0.5 },
};
type Faults = ReadonlyArray<{ path: string; expected: string | null; message: string; line?: number }>;
const faults = (source: unknown): Faults => {
  const read = readJob(source);
  if (read.ok) throw new Error("expected faults");
  return read.errors;
};

describe("reading a job", () => {
  it("fills in the defaults, from text with a byte order mark or from an object", () => {
    for (const source of [good, JSON.stringify(good), `\uFEFF${JSON.stringify(good)}`]) {
      const read = readJob(source);
      expect(read).toMatchObject({ ok: true, job: { flip: "x", codes: [] }, warnings: [] });
      if (read.ok) expect(datumOf(read.job)).toEqual({ x: 500, y: 350 });
    }
  });

  it("takes the printed side for the blade's where a job does not say it, and says so; the id for a name", () => {
    const { name, cutFrom, ...rest } = good;
    expect(readJob({ ...rest, name })).toMatchObject({ ok: true, job: { cutFrom: "print", name }, warnings: [expect.stringContaining("as seen from the printed side")] });
    expect(readJob({ ...rest, cutFrom })).toMatchObject({ ok: true, job: { cutFrom, name: "TRAY-7" }, warnings: [] });
  });

  it("takes the pieces to be in the sheet where a job does not say it, and says so", () => {
    const { state, ...rest } = good;
    expect(readJob(rest)).toMatchObject({ ok: true, job: { state }, warnings: [expect.stringContaining("they are taken to be in it")] });
    expect(faults({ ...rest, state: "cut" })[0].path).toBe("state");
  });

  it("warns of marks that are gone once the pieces are stripped, and of none that lie on one", () => {
    const marks = [{ ...good.marks[0], x: 110, y: 110 }, { ...good.marks[1], x: 390, y: 110 }, { ...good.marks[2], x: 390, y: 290 }, { ...good.marks[0], id: "off", x: 450, y: 290 }];
    const warningsFor = (state: string): readonly string[] => {
      const read = readJob({ ...good, marks, state });
      return read.ok ? read.warnings : ["faults"];
    };
    expect(warningsFor("in-sheet")).toEqual([]);
    expect(warningsFor("stripped")).toEqual(["Mark off lies on none of the pieces: once they are stripped it is gone, and cannot be found."]);
  });

  it("tells all faults at once, each with its path, what was expected and its line", () => {
    const bad = {
      ...good,
      colour: "red",
      sheet: { width: "wide", height: 700 },
      marks: [{ ...good.marks[0], diametre: 3 }, { ...good.marks[1], inner: 9 }, { ...good.marks[2], stroke: 10 }, { id: "M1", shape: "blob", x: 1, y: 1 }],
      cuts: [{ id: "a", kind: "cut", circle: { x: 1, y: 1 } }, { id: "b", kind: "cut", path: "M 1 1" }, { id: "b", kind: "fold", path: "M 0 0 L 1 1" }],
      tolerance: { position: 0 },
    };
    const told = faults(JSON.stringify(bad, null, 2));
    expect(told.map((f) => f.path).sort()).toEqual(
      ["colour", "cuts[0].circle.diameter", "cuts[1].path", "cuts[2].kind", "marks[0].diametre", "marks[1].inner", "marks[2].stroke", "marks[3].shape", "sheet.width", "tolerance.position"].sort(),
    );
    const by = (path: string) => told.find((f) => f.path === path);
    expect(by("colour")?.message).toBe('colour: unknown key "colour".');
    expect(by("sheet.width")?.message).toBe('sheet.width: expected a finite number, found "wide".');
    expect(by("marks[1].inner")?.message).toBe("marks[1].inner: expected a number less than outer (8), found 9.");
    expect(by("marks[3].shape")?.expected).toContain('"checker"');
    expect(by("cuts[0].circle.diameter")?.message).toContain("is missing");
    const lines = JSON.stringify(bad, null, 2).split("\n");
    expect(lines[(by("marks[1].inner")?.line ?? 0) - 1]).toContain('"inner": 9');
  });

  it("wants ids used once, marks on the sheet and not in one line", () => {
    expect(faults({ ...good, cuts: [good.cuts[0], good.cuts[0]] })).toMatchObject([{ path: "cuts[1].id" }]);
    expect(faults({ ...good, marks: [...good.marks, { ...good.marks[0], id: "M4", x: -3 }] })).toMatchObject([{ path: "marks[3].x" }]);
    expect(faults({ ...good, marks: good.marks.map((m) => ({ ...m, y: 20 })) })[0].message).toContain("not in one line");
    expect(faults({ ...good, marks: good.marks.slice(0, 2) })[0].message).toContain("at least three");
    expect(readJob({ ...good, marks: good.marks.slice(0, 2), codes: [{ symbology: "qr", x: 60, y: 600, size: 18, payload: "job={job}" }] }).ok).toBe(true);
  });

  it("says where a text stops being JSON, and names a key given twice", () => {
    expect(faults('{ "format": "kerfmark.job/1",\n  "id" "x" }')).toMatchObject([{ line: 2, message: expect.stringContaining("line 2, column 8") }]);
    expect(faults("")[0].message).toContain("empty");
    expect(faults("null")[0].message).toContain("expected an object, found null");
    expect(faults(JSON.stringify(good).replace('"id":"M1"', '"id":"M1","id":"M0"'))).toMatchObject([{ path: "marks[0].id", message: "marks[0].id is given twice." }]);
    expect(faults(`${"[".repeat(200_000)}${"]".repeat(200_000)}`)).toHaveLength(1);
  });

  it("never throws, whatever it is given", () => {
    fc.assert(fc.property(fc.anything(), (v) => typeof readJob(v).ok === "boolean"), { numRuns: 300 });
    fc.assert(fc.property(fc.nat(), fc.nat(), (at, to) => {
      const text = JSON.stringify(good);
      return typeof readJob(text.slice(0, at % text.length) + text.slice(to % text.length)).ok === "boolean";
    }), { numRuns: 300 });
  });

  it("has its JSON Schema published as it is", () => {
    const published = JSON.parse(readFileSync(new URL("../../../docs/job.schema.json", import.meta.url), "utf8"));
    expect(published).toEqual(JSON.parse(JSON.stringify(z.toJSONSchema(jobSchema, { io: "input" }))));
  });
});

describe("mark layouts that cannot be told apart", () => {
  const dots = (...at: Array<[number, number, number?]>): Mark[] => at.map(([x, y, d], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: d ?? 6 }));
  const kinds = (marks: Mark[], codes = false) => layoutAmbiguities({ marks, codes: codes ? [{ symbology: "qr", x: 60, y: 60, size: 18, payload: "x" }] : [] }).map((a) => `${a.kind} ${a.degrees.toFixed(0)}`);

  it("names half turns, quarter turns and mirrors", () => {
    expect(kinds(dots([20, 20], [980, 20], [980, 680], [20, 680]))).toEqual(["mirror 0", "mirror 90", "turn 180"]);
    expect(kinds(dots([20, 20], [680, 20], [680, 680], [20, 680]))).toEqual(["mirror 0", "mirror 45", "mirror 90", "mirror 135", "turn 90", "turn 180", "turn 270"]);
    expect(kinds(dots([20, 20], [980, 20], [500, 680]))).toEqual(["mirror 90"]);
  });

  it("finds none where a size, a place or a code breaks the tie", () => {
    expect(kinds(dots([20, 20, 9], [980, 20], [980, 680], [120, 680]))).toEqual([]);
    expect(kinds(dots([20, 20], [980, 20], [980, 680], [20, 680]), true)).toEqual([]);
    expect(kinds(dots([20, 20], [980, 20], [980, 680], [20, 640], [300, 20]))).toEqual([]);
    expect(kinds(dots([20, 20], [980, 20.5], [980, 680], [20, 681]))).toHaveLength(3);
  });

  it("finds a row that fits after a shift", () => {
    const grid = dots(...[0, 1, 2, 3, 4].flatMap((i): Array<[number, number]> => [[20 + 100 * i, 20], [20 + 100 * i, 450]]), [20, 300]);
    expect(layoutAmbiguities({ marks: grid, codes: [] }).map((a) => [a.kind, Math.round(Math.abs(a.shift.x))])).toContainEqual(["shift", 100]);
  });

  it("is the same for a layout that is turned and moved, and is said in a sentence", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 6, noNaN: true }), fc.double({ min: -50, max: 50, noNaN: true }), (angle, dx) => {
        const turn = (m: Mark) => ({ ...m, x: Math.cos(angle) * m.x - Math.sin(angle) * m.y + dx, y: Math.sin(angle) * m.x + Math.cos(angle) * m.y });
        const layout = dots([20, 20], [980, 20], [980, 680], [20, 680]).map(turn);
        const found = layoutAmbiguities({ marks: layout, codes: [] });
        expect(found.map((a) => a.kind)).toEqual(["mirror", "mirror", "turn"]);
        expect(describeAmbiguity(found[2])).toContain("180 degrees");
      }),
    );
  });
});
