import { drawChart } from "./chart.ts";
import type { Block, ReportContent } from "./content.ts";
import { plain } from "./figures.ts";
import { REPORT_WORDS } from "./words.ts";

const STYLE = `body{font:15px/1.45 system-ui,sans-serif;color:#1a1a1a;background:#fff;max-width:60rem;margin:2rem auto;padding:0 1rem}
header{display:flex;justify-content:space-between;gap:1rem;border-bottom:2px solid #1a1a1a;margin-bottom:1rem}header img{max-height:4rem}h1{margin:.2rem 0;font-size:1.6rem}
h2{font-size:1.1rem;margin:1.6rem 0 .4rem}.verdict{font-size:2.2rem;font-weight:700;margin:.6rem 0}.good{color:#17653a}.bad{color:#a01818}.open{color:#7a5200}
table{border-collapse:collapse;width:100%;font-size:.9rem}th,td{text-align:left;padding:.25rem .4rem;border-bottom:1px solid #b5b5b5;vertical-align:top}.n{text-align:right;font-variant-numeric:tabular-nums}
img,svg{max-width:100%;height:auto}figure{margin:1rem 0}figcaption,footer{color:#595959;font-size:.85rem}.signatures{display:flex;gap:2rem;margin-top:4rem}.signatures p{flex:1;border-top:1px solid #1a1a1a}
@media print{body{margin:0}tr,figure{break-inside:avoid}}`;

/** One HTML file with everything in it: no script, nothing fetched. */
export function renderHtml(content: ReportContent, madeAt: Date): string {
  const w = REPORT_WORDS[content.language];
  const logo = content.logo ? `<img alt="" src="${dataUrl(content.logo)}">` : "";
  return `<!doctype html>
<html lang="${content.language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>${safe(`${content.title} ${content.subtitle}`)}</title><style>${STYLE}</style></head><body>
<header><div><div>${safe(content.shop)}</div><h1>${safe(content.title)}</h1><p>${safe(content.subtitle)}</p></div>${logo}</header>
<main>
${content.blocks.map((block) => renderBlock(block, content)).join("\n")}
</main>
<footer>${safe(w.made)} ${madeAt.toISOString().slice(0, 16).replace("T", " ")} UTC</footer>
</body></html>
`;
}

function renderBlock(block: Block, content: ReportContent): string {
  switch (block.kind) {
    case "heading":
      return `<h2>${safe(block.text)}</h2>`;
    case "text":
      return `<p>${safe(block.text)}</p>`;
    case "verdict":
      return `<p class="verdict ${block.tone}">${safe(block.text)}</p>`;
    case "facts":
      return `<table>${block.rows.map(([name, value]) => `<tr><th scope="row">${safe(name)}</th><td>${safe(value)}</td></tr>`).join("")}</table>`;
    case "table": {
      const cell = (tag: "th" | "td", text: string, i: number) => `<${tag}${block.columns[i].numeric ? ' class="n"' : ""}>${safe(text)}</${tag}>`;
      const head = block.columns.map((c, i) => cell("th", c.title, i)).join("");
      return `<table><thead><tr>${head}</tr></thead><tbody>${block.rows.map((row) => `<tr>${row.map((text, i) => cell("td", text, i)).join("")}</tr>`).join("")}</tbody></table>`;
    }
    case "picture":
      return `<figure><img alt="" width="${block.width}" height="${block.height}" src="${dataUrl(block.jpeg)}"><figcaption>${safe(block.caption)}</figcaption></figure>`;
    case "chart": {
      const drawing = drawChart(block.chart, 760, 150, (v) => plain(v, block.chart.digits, content));
      const paths = drawing.paths.map((p) => `<path d="${p.d}" stroke-width="${p.width}" fill="${p.fill ? "currentColor" : "none"}"${p.dashed ? ' stroke-dasharray="4 3"' : ""}/>`);
      const texts = drawing.texts.map((t) => `<text x="${t.x}" y="${t.y}" font-size="9" fill="currentColor" stroke="none">${safe(t.text)}</text>`);
      return `<figure><figcaption>${safe(block.chart.title)}</figcaption><svg viewBox="0 0 760 150" role="img" aria-label="${safe(block.chart.title)}" stroke="currentColor">${paths.join("")}${texts.join("")}</svg></figure>`;
    }
    case "signatures":
      return `<div class="signatures">${block.roles.map((role) => `<p>${safe(role)}</p>`).join("")}</div>`;
  }
}

function dataUrl(bytes: Uint8Array): string {
  return `data:image/${bytes[0] === 0x89 ? "png" : "jpeg"};base64,${Buffer.from(bytes).toString("base64")}`;
}

function safe(text: string): string {
  return text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
}
