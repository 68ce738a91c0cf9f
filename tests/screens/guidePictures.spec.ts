import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import sharp from "sharp";
import { expect, test } from "./fixture/desk.ts";

/** `npm run screenshots` writes the guide's pictures of the program: parts of the Check screen, in each language. */
const folder = process.env.KERFMARK_SCREENSHOTS ? join(import.meta.dirname, "../../renderer/guide/pictures") : undefined;

const PARTS = { verdict: "section.verdict", judged: ".section:has(table.judged)", correction: ".section:has(.correction-body)" } as const;

for (const language of ["en", "de"]) {
  test(`the guide's pictures can be taken, ${language}`, async ({ page, open }) => {
    await page.setViewportSize({ width: 1280, height: 900 });
    await open();
    await page.evaluate((body) => fetch("/api/settings", { method: "PATCH", headers: { "content-type": "application/json" }, body }), JSON.stringify({ language, theme: "light" }));
    await page.reload();
    await page.locator(".start-card .main-button").click();
    await page.getByRole("option").nth(1).click();
    await expect(page.locator("section.verdict")).toHaveAttribute("data-standing", "out", { timeout: 120_000 });
    for (const [name, selector] of Object.entries(PARTS)) {
      const part = page.locator(selector);
      await part.scrollIntoViewIfNeeded();
      await expect(part).toBeVisible();
      if (!folder) continue;
      await mkdir(folder, { recursive: true });
      await sharp(await part.screenshot()).webp({ quality: 88 }).toFile(join(folder, `${name}-${language}.webp`));
    }
  });
}
