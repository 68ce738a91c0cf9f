import { createRequire } from "node:module";
import PDFDocument from "pdfkit";
import { drawChart } from "./chart.ts";
import type { Block, Column, ReportContent } from "./content.ts";
import { plain } from "./figures.ts";
import { REPORT_WORDS } from "./words.ts";

export type Paper = "A4" | "LETTER";

const MARGIN = 46;
const FOOT = 30;
const COLOUR = { good: "#17653a", bad: "#a01818", open: "#7a5200", ink: "#1a1a1a", faint: "#666666", rule: "#b5b5b5" } as const;
const fonts = createRequire(import.meta.url);

/** Lays the content out on pages. `madeAt` stands on every page and in the file's properties. */
export async function renderPdf(content: ReportContent, paper: Paper, madeAt: Date): Promise<Buffer> {
  const doc = new PDFDocument({
    size: paper, margins: { top: MARGIN, left: MARGIN, right: MARGIN, bottom: MARGIN + FOOT }, bufferPages: true, lang: content.language,
    font: fonts.resolve("dejavu-fonts-ttf/ttf/DejaVuSans.ttf"), displayTitle: true,
    info: { Title: `${content.title} ${content.subtitle}`, Author: content.shop, CreationDate: madeAt },
  });
  doc.registerFont("plain", fonts.resolve("dejavu-fonts-ttf/ttf/DejaVuSans.ttf"));
  doc.registerFont("bold", fonts.resolve("dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf"));
  const chunks: Buffer[] = [];
  doc.on("data", (chunk: Buffer) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => doc.on("end", resolve).on("error", reject));
  titleBlock(doc, content);
  for (const block of content.blocks) drawBlock(doc, block, content);
  footers(doc, content, madeAt);
  doc.end();
  await ended;
  return Buffer.concat(chunks);
}

type Doc = PDFKit.PDFDocument;

const widthOf = (doc: Doc) => doc.page.width - 2 * MARGIN;
const bottomOf = (doc: Doc) => doc.page.height - MARGIN - FOOT;

/** Begins a new page where `height` no longer fits on this one. */
function need(doc: Doc, height: number): void {
  if (doc.y + height > bottomOf(doc)) doc.addPage();
}

function titleBlock(doc: Doc, content: ReportContent): void {
  const top = doc.y;
  if (content.logo) doc.image(Buffer.from(content.logo), doc.page.width - MARGIN - 120, top, { fit: [120, 46], align: "right" });
  const width = widthOf(doc) - (content.logo ? 130 : 0);
  if (content.shop) doc.font("plain").fontSize(10).fillColor(COLOUR.faint).text(content.shop, MARGIN, top, { width });
  doc.font("bold").fontSize(17).fillColor(COLOUR.ink).text(content.title, MARGIN, doc.y, { width });
  doc.font("plain").fontSize(11).text(content.subtitle, { width });
  doc.y = Math.max(doc.y, top + (content.logo ? 50 : 0)) + 6;
  doc.moveTo(MARGIN, doc.y).lineTo(doc.page.width - MARGIN, doc.y).lineWidth(1).stroke(COLOUR.ink);
  doc.y += 8;
}

function drawBlock(doc: Doc, block: Block, content: ReportContent): void {
  const width = widthOf(doc);
  switch (block.kind) {
    case "heading":
      need(doc, 60);
      doc.moveDown(0.6).font("bold").fontSize(11).fillColor(COLOUR.ink).text(block.text, MARGIN, doc.y, { width }).moveDown(0.2);
      return;
    case "text":
      doc.font("plain").fontSize(9).fillColor(COLOUR.ink).text(block.text, MARGIN, doc.y, { width }).moveDown(0.3);
      return;
    case "verdict":
      need(doc, 40);
      doc.moveDown(0.4).font("bold").fontSize(22).fillColor(COLOUR[block.tone]).text(block.text, MARGIN, doc.y, { width });
      return;
    case "facts":
      return drawTable(doc, [{ title: "", share: 1 }, { title: "", share: 2.6 }], block.rows);
    case "table":
      return drawTable(doc, block.columns, block.rows);
    case "picture": {
      const scale = Math.min(width / block.width, 300 / block.height);
      need(doc, block.height * scale + 24);
      doc.image(Buffer.from(block.jpeg), MARGIN, doc.y + 4, { width: block.width * scale });
      doc.y += block.height * scale + 8;
      doc.font("plain").fontSize(8).fillColor(COLOUR.faint).text(block.caption, MARGIN, doc.y, { width });
      return;
    }
    case "chart":
      return drawChartBlock(doc, block, content);
    case "signatures":
      return drawSignatures(doc, block.roles);
  }
}

function drawTable(doc: Doc, columns: readonly Column[], rows: readonly (readonly string[])[]): void {
  const total = columns.reduce((sum, c) => sum + c.share, 0);
  const widths = columns.map((c) => (c.share / total) * widthOf(doc));
  const heading = columns.some((c) => c.title !== "");
  const header = () => drawRow(doc, columns.map((c) => c.title), columns, widths, "bold");
  if (heading) header();
  for (const row of rows) {
    const before = doc.page;
    need(doc, rowHeight(doc, row, widths));
    if (heading && doc.page !== before) header();
    drawRow(doc, row, columns, widths, "plain");
  }
  doc.y += 4;
}

function rowHeight(doc: Doc, cells: readonly string[], widths: readonly number[]): number {
  doc.fontSize(8.5);
  return Math.max(...cells.map((text, i) => doc.heightOfString(text || " ", { width: widths[i] - 6 }))) + 5;
}

function drawRow(doc: Doc, cells: readonly string[], columns: readonly Column[], widths: readonly number[], font: "plain" | "bold"): void {
  doc.font(font);
  const height = rowHeight(doc, cells, widths);
  need(doc, height);
  const top = doc.y;
  let x = MARGIN;
  cells.forEach((text, i) => {
    doc.font(font).fontSize(8.5).fillColor(COLOUR.ink).text(text, x + 3, top + 2, { width: widths[i] - 6, align: columns[i].numeric ? "right" : "left" });
    x += widths[i];
  });
  doc.moveTo(MARGIN, top + height).lineTo(x, top + height).lineWidth(0.4).stroke(COLOUR.rule);
  doc.x = MARGIN;
  doc.y = top + height;
}

function drawChartBlock(doc: Doc, { chart }: Extract<Block, { kind: "chart" }>, content: ReportContent): void {
  const height = 110;
  need(doc, height + 26);
  doc.font("plain").fontSize(9).fillColor(COLOUR.ink).text(chart.title, MARGIN, doc.y + 4);
  const top = doc.y + 2;
  const drawing = drawChart(chart, widthOf(doc), height, (v) => plain(v, chart.digits, content));
  doc.save().translate(MARGIN, top);
  for (const { d, width, dashed, fill } of drawing.paths) {
    doc.path(d).lineWidth(width);
    if (dashed) doc.dash(3, { space: 2 });
    else doc.undash();
    if (fill) doc.fillAndStroke(COLOUR.ink, COLOUR.ink);
    else doc.stroke(COLOUR.ink);
  }
  doc.undash().restore();
  for (const { x, y, text } of drawing.texts) doc.fontSize(7).fillColor(COLOUR.ink).text(text, MARGIN + x, top + y - 7, { lineBreak: false });
  doc.x = MARGIN;
  doc.y = top + height + 6;
}

function drawSignatures(doc: Doc, roles: readonly string[]): void {
  need(doc, 70);
  const each = widthOf(doc) / roles.length;
  const y = doc.y + 44;
  roles.forEach((role, i) => {
    const x = MARGIN + i * each;
    doc.moveTo(x, y).lineTo(x + each - 24, y).lineWidth(0.6).stroke(COLOUR.ink);
    doc.font("plain").fontSize(8).fillColor(COLOUR.faint).text(role, x, y + 3, { lineBreak: false });
  });
  doc.x = MARGIN;
  doc.y = y + 18;
}

/** Written at the end, when the number of pages is known. */
function footers(doc: Doc, { title, subtitle, language }: ReportContent, madeAt: Date): void {
  const w = REPORT_WORDS[language];
  const { start, count } = doc.bufferedPageRange();
  for (let i = 0; i < count; i++) {
    doc.switchToPage(start + i);
    const y = doc.page.height - MARGIN - 4;
    doc.page.margins.bottom = 0;
    doc.font("plain").fontSize(7.5).fillColor(COLOUR.faint);
    doc.text(`${title} ${subtitle} \u00b7 ${w.made} ${madeAt.toISOString().slice(0, 16).replace("T", " ")} UTC`, MARGIN, y, { lineBreak: false });
    const page = w.page(i + 1, count);
    doc.text(page, doc.page.width - MARGIN - doc.widthOfString(page), y, { lineBreak: false });
  }
}
