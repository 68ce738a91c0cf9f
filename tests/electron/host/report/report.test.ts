import Papa from "papaparse";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { toPicture } from "../../../../core/camera/view.ts";
import type { Measured } from "../../../../core/check/record.ts";
import { drawDeviations } from "../../../../electron/host/report/picture.ts";
import type { ReportFormat } from "../../../../electron/host/report/formats.ts";
import { makeReport, type Subject } from "../../../../electron/host/report/report.ts";
import { decodePicture } from "../../../../electron/host/pictures/decode.ts";
import { JOB } from "../measure/sheet.ts";
import { recordOf } from "./records.ts";

const MADE_AT = new Date("2026-03-04T05:06:00Z");
const style = { language: "en", paper: "A4", shop: "Seed & Shelf", madeAt: MADE_AT } as const;
const run = (n: number): Subject => {
  const records = Array.from({ length: n }, (_, i) => recordOf(i + 1, i + 1 === 5 ? "out" : "in"));
  const decisions = [{ id: 1, runId: 1, sheet: "5", decision: "concession", who: "M. Halm", why: "Inside of the tray", batch: 1, madeAt: "2026-03-04T05:00:00.000Z" } as const];
  return { of: "run", name: "Morning", job: JOB, jobVersion: 3, sheets: 40, startedAt: "2026-03-04T04:00:00Z", records, firstCut: records, decisions };
};
const sheet = (record: Measured): Subject => ({ of: "sheet", record, job: JOB, jobVersion: 3, profile: "Desk camera" });

async function text(subject: Subject, format: ReportFormat, more: object = {}): Promise<string> {
  return Buffer.from(await makeReport(subject, format, { ...style, ...more })).toString("utf8");
}

/** Text of each page of a PDF, read back by pdf.js, and the first page's size in points. */
async function pdfPages(subject: Subject, more: object = {}): Promise<{ pages: string[]; size: number[] }> {
  const document = await getDocument({ data: new Uint8Array(await makeReport(subject, "pdf", { ...style, ...more })), verbosity: 0 }).promise;
  const pages: string[] = [];
  for (let i = 1; i <= document.numPages; i++) {
    const { items } = await (await document.getPage(i)).getTextContent();
    pages.push(items.map((item) => ("str" in item ? item.str : "")).join(" ").replace(/\s+/g, " "));
  }
  const [, , width, height] = (await document.getPage(1)).view;
  await document.loadingTask.destroy();
  return { pages, size: [width, height].map(Math.round) };
}

/** The figures of a record as a reader should find them, rounded from the record alone. */
function figuresOf(r: Measured): string[] {
  const plus = (v: number, digits: number) => (v < 0 ? "-" : "+") + Math.abs(v).toFixed(digits);
  return [
    plus(r.worst.value, 3), r.worst.U.toFixed(3), plus(r.offset.x, 3), plus(r.offset.y, 3), r.offset.length.toFixed(3), r.offset.U.toFixed(3),
    plus(r.rotation.value, 2), r.rotation.U.toFixed(2), plus(r.skew.value, 2), r.skew.U.toFixed(2), plus(r.scale.x, 2), plus(r.scale.y, 2), r.scale.U.toFixed(2),
    plus(r.correction.x, 3), plus(r.correction.y, 3), plus(r.features[1].max, 3), r.features[0].rms.toFixed(3),
  ];
}

describe("the PDF of a sheet", () => {
  it("shows the record's figures to the last digit, and against what they were judged", async () => {
    const record = recordOf(4);
    const all = (await pdfPages(sheet(record))).pages.join(" ");
    for (const figure of figuresOf(record)) expect(all).toContain(figure);
    for (const words of ["TRAY-1", "Job version 3", "Desk camera", "Worst place 0.5 mm", "IN", "JCGM 100", "Measured by", "Page 1 of", "Seed & Shelf", "> 99.99 %"]) expect(all).toContain(words);
  });

  it("gives no figures of a crease that was not found", async () => {
    const record = recordOf(4);
    const crease = { id: "fold 9", kind: "crease", mean: 0.123, max: 0.123, rms: 0.123, U: 3.479, coverage: 0 } as const;
    const all = (await pdfPages(sheet({ ...record, features: [...record.features, crease] }))).pages.join(" ");
    expect(all).toMatch(/fold 9 crease – – – – not found/);
    expect(all).not.toMatch(/0\.123|3\.479/);
  });

  it("speaks German, with decimal commas", async () => {
    const record = recordOf(4, "unsure");
    const all = (await pdfPages(sheet(record), { language: "de" })).pages.join(" ");
    for (const figure of figuresOf(record)) expect(all).toContain(figure.replace(".", ","));
    for (const words of ["UNSICHER", "Prüfung eines Bogens", "Schlechteste Stelle", "Gemessen von"]) expect(all).toContain(words);
    expect(all).not.toMatch(/\bSheet\b|\bOffset\b|undefined|NaN/);
  });

  it("puts what the check wrote into German: notes, names that the import gave, refusals", async () => {
    const record = recordOf(4);
    const worst = { ...record.worst, feature: "piece 2, outer edge" };
    const named = { ...record, worst, features: [{ ...record.features[0], id: "piece 2, outer edge" }], warnings: ['"piece 2, hole 1" was not found.', 'Only 40 % of "lid" was found.'] };
    const all = (await pdfPages(sheet(named), { language: "de" })).pages.join(" ");
    for (const words of ["Stück 2, Außenkante", "„Stück 2, Loch 1“ wurde nicht gefunden.", "Nur 40 % von „lid“ wurden gefunden."]) expect(all).toContain(words);
    expect(all).not.toMatch(/outer edge|was not found/);
    const refusal = { code: "too-blurred", message: "The picture is blurred over 3 mm.", hint: "Hold the camera still." } as const;
    const refused = { format: "kerfmark.check/1", image: "a.jpg", job: "TRAY-1", status: "refused", verdict: null, refusal, warnings: [] } as const;
    expect((await pdfPages({ of: "sheet", record: refused, job: JOB }, { language: "de" })).pages.join(" ")).toContain("Das Bild ist zu unscharf.");
  });

  it("speaks of inches where the shop does: lengths to ten thousandths, rates as they are", async () => {
    const record = recordOf(4);
    const all = (await pdfPages(sheet(record), { units: "inch" })).pages.join(" ");
    const inch = (v: number) => (v < 0 ? "-" : "+") + (Math.abs(v) / 25.4).toFixed(4);
    for (const figure of [inch(record.worst.value), inch(record.offset.x), inch(record.correction.y), inch(record.features[1].max), "0.0197", "9.45 in", "-0.31"]) expect(all).toContain(figure);
    expect(all).not.toMatch(/ mm(?!\/m)/);
  });

  it("comes on A4 and on Letter, with a logo", async () => {
    const logo = await sharp({ create: { width: 40, height: 20, channels: 3, background: "#2a6" } }).png().toBuffer();
    expect((await pdfPages(sheet(recordOf(1)), { logo })).size).toEqual([595, 842]);
    expect((await pdfPages(sheet(recordOf(1)), { paper: "LETTER" })).size).toEqual([612, 792]);
  });

  it("tells a refusal and what to do", async () => {
    const refusal = { code: "too-blurred", message: "The picture is blurred over 3 mm.", hint: "Hold the camera still." } as const;
    const record = { format: "kerfmark.check/1", image: "a.jpg", job: "TRAY-1", status: "refused", verdict: null, refusal, warnings: [] } as const;
    const all = (await pdfPages({ of: "sheet", record, job: JOB })).pages.join(" ");
    for (const words of ["Not measured", refusal.message, refusal.hint]) expect(all).toContain(words);
  });
});

describe("the report of a run", () => {
  it("is paged, with every sheet's figures, set-aside list, decisions and capability", async () => {
    const subject = run(60) as Extract<Subject, { of: "run" }>;
    const { pages } = await pdfPages({ ...subject, sheets: 100 });
    const all = pages.join(" ");
    expect(pages.length).toBeGreaterThan(2);
    pages.forEach((page, i) => expect(page).toContain(`Page ${i + 1} of ${pages.length}`));
    for (const record of subject.records) for (const figure of figuresOf(record).slice(0, 4)) expect(all).toContain(figure);
    for (const words of ["60: 59 in, 1 out, 0 unsure", "concession", "M. Halm", "Inside of the tray", "Cpk", "Control charts", "Set aside"]) expect(all).toContain(words);
    expect(all).toMatch(/Out 5 96/);
  });

  it("says beside every sheet to set aside what was decided, what is open, and what was set aside by eye; and by which profiles was measured", async () => {
    const subject = run(20) as Extract<Subject, { of: "run" }>;
    const decided = (sheet: string, decision: "scrap" | "aside") => ({ ...subject.decisions[0], id: Number(sheet), sheet, decision });
    const by = (profile: string) => ({ ...subject.records[0], view: { ...subject.records[0].view, lens: { source: "profile", profile } as const } });
    // Sheets 21 to 40 are unchecked behind a good one; 22 to 24 behind a bad one are suspect.
    const records = [...subject.records, by("Desk camera, 2026-01-05"), by("Scanner, 2026-02-01")].map((r, i) => ({ ...r, sheet: String(i + 1) }));
    const out = { ...recordOf(25, "out"), sheet: "26" };
    const all = (await pdfPages({ ...subject, records: [...records, out], firstCut: [...records, out], decisions: [...subject.decisions, decided("24", "scrap"), decided("9", "aside")] })).pages.join(" ");
    for (const words of ["Out 5 36 concession", "Out 26 15 open", "Suspect 23 - 25 16 - 18 1 scrap, 2 open", "By eye 9 32 set aside", "Desk camera, 2026-01-05; Scanner, 2026-02-01"]) expect(all).toContain(words);
  });

  it("says so where nothing can be said of the stack", async () => {
    expect(await text({ ...(run(8) as Extract<Subject, { of: "run" }>), sheets: null }, "html")).toContain("is not recorded, so nothing can be said");
  });

  it("shows the same figures as one HTML file that fetches and runs nothing", async () => {
    const subject = run(12) as Extract<Subject, { of: "run" }>;
    const html = await text(subject, "html", { shop: "<script>alert(1)</script>" });
    for (const record of subject.records) for (const figure of figuresOf(record).slice(0, 4)) expect(html).toContain(`>${figure}<`);
    expect(html).not.toMatch(/<script|<link|src="http|href=/);
  });

  it("is data as JSON, unrounded", async () => {
    const subject = run(12) as Extract<Subject, { of: "run" }>;
    const data = JSON.parse(await text(subject, "json")) as { records: unknown; trends: { column: string }[]; setaside: { bad: number[] }; jobVersion: number };
    expect(data.records).toEqual(JSON.parse(JSON.stringify(subject.records)));
    expect([data.setaside.bad, data.jobVersion, data.trends.map((t) => t.column)]).toEqual([[5], 3, ["offsetX", "offsetY", "rotation", "worst"]]);
  });
});

describe("the CSV", () => {
  it("has every value, its U and its unit in columns of their own, exactly, and guards text only", async () => {
    const subject = run(4) as Extract<Subject, { of: "run" }>;
    const { data } = Papa.parse<Record<string, string>>(await text(subject, "csv"), { header: true, skipEmptyLines: true });
    data.forEach((row, i) => {
      const { worst, offset, rotation } = subject.records[i];
      expect([row.worst, row.worst_U, row.offset_y, row.offset_U, row.rotation].map(Number)).toEqual([worst.value, worst.U, offset.y, offset.U, rotation.value]);
      expect([row.worst_unit, row.offset_unit, row.rotation_unit, row.skew_unit]).toEqual(["mm", "mm", "mm/m", "mm/m"]);
      expect(row.rotation.startsWith("-")).toBe(true);
    });
    expect(data[2].notes.startsWith("'=cmd")).toBe(true);
    const [inches] = Papa.parse<Record<string, string>>(await text(subject, "csv", { units: "inch" }), { header: true, skipEmptyLines: true }).data;
    expect([Number(inches.worst), Number(inches.correction_x), Number(inches.rotation)]).toEqual([subject.records[0].worst.value / 25.4, subject.records[0].correction.x / 25.4, subject.records[0].rotation.value]);
    expect([inches.worst_unit, inches.correction_unit, inches.rotation_unit]).toEqual(["in", "in", "mm/m"]);
  });
});

describe("the picture", () => {
  it("draws each deviation from its nominal place, enlarged by the factor it states", async () => {
    const file = await sharp({ create: { width: 600, height: 400, channels: 3, background: "#ffffff" } }).png().toBuffer();
    const homography = [2, 0, 50, 0, -2, 350, 0, 0, 1] as const;
    const stretch = { feature: "blank", x: 100, y: 50, nx: 0, ny: 1, value: 0.4, U: 0.01 };
    const drawn = await drawDeviations(file, { homography, lens: null, stretches: [stretch] });
    const picture = await decodePicture(drawn.jpeg);
    const isInk = ({ x, y }: { x: number; y: number }) => picture.data[3 * (Math.round(y) * picture.width + Math.round(x)) + 1] < 120;
    const seen = (y: number) => toPicture({ homography: { m: homography }, lens: null }, { x: 100, y });
    const tip = stretch.y + drawn.enlarged * stretch.value;
    expect([isInk(seen(50)), isInk(seen((50 + tip) / 2)), isInk(seen(tip - 1))]).toEqual([true, true, true]);
    expect([isInk(seen(50 - 4)), isInk(seen(tip + 4))]).toEqual([false, false]);
  });
});
