import { chromium, type Browser } from "@playwright/test";

/** Chromium, without a network: pages are given as text and fetch nothing. */
export function openChromium(executablePath: string): Promise<Browser> {
  return chromium.launch({ executablePath, args: ["--no-sandbox", "--disable-background-networking"] });
}

/** Points on the drawn shapes of an SVG drawing, px from its upper left corner, by Chromium's own getPointAtLength and getScreenCTM. */
export async function pointsByChromium(browser: Browser, source: string, perShape: number): Promise<Array<readonly [number, number]>> {
  const page = await browser.newPage();
  try {
    await page.route("**/*", (route) => route.abort());
    await page.setContent(`<body style="margin:0">${source.replace(/<\?xml[^>]*>|<!DOCTYPE[^>]*>/g, "")}</body>`);
    return await page.evaluate((n) => {
      const corner = document.querySelector("svg")?.getBoundingClientRect() ?? { left: 0, top: 0 };
      const drawn = [...document.querySelectorAll<SVGGeometryElement>("path,rect,circle,ellipse,polyline,polygon,line")].filter((e) => {
        const style = getComputedStyle(e);
        return !e.closest("defs,clipPath,mask,symbol,pattern,marker") && style.display !== "none" && style.visibility === "visible" && (style.fill !== "none" || style.stroke !== "none");
      });
      return drawn.flatMap((e) => {
        const m = e.getScreenCTM();
        const length = e.getTotalLength();
        return Array.from({ length: length > 0 ? n : 0 }, (_, i) => {
          const p = e.getPointAtLength((length * i) / (n - 1)).matrixTransform(m ?? undefined);
          return [p.x - corner.left, p.y - corner.top] as [number, number];
        });
      });
    }, perShape);
  } finally {
    await page.close();
  }
}
