import { readFile } from "node:fs/promises";
import { chooseFile, expect, test } from "./fixture/desk.ts";
import { shoot } from "./fixture/shoot.ts";

test("a phone sends pictures to the open run and shows their verdicts", async ({ page, browser, open, pictures, library, log }) => {
  await open();
  await chooseFile(page, "Open a job", pictures.job);
  await expect(page.getByText("Phone door open")).toBeHidden();
  await page.getByRole("button", { name: "Phone" }).first().click();
  await expect(page.getByText("Over plain HTTP, as here, pictures are not encrypted")).toBeVisible();
  await page.getByRole("button", { name: "Open the door" }).click();
  const code = page.getByRole("img", { name: /\/join\?token=/ });
  await expect(code).toBeVisible();
  await shoot(page, "phone-code");
  const url = (await code.getAttribute("alt")) ?? "";

  const phone = await browser.newContext({ viewport: { width: 390, height: 780 }, locale: "de-DE", hasTouch: true, isMobile: true });
  const screen = await phone.newPage();
  const phoneLog: string[] = [];
  screen.on("console", (message) => message.type() === "error" && phoneLog.push(message.text()));
  await screen.goto(url);
  await expect(screen.getByRole("heading", { name: "Bogen an den Arbeitsplatz senden" })).toBeVisible();
  await expect(screen.getByText("nicht verschlüsselt")).toBeVisible();
  await expect(page.getByText("A phone has come in by the code.")).toBeVisible();

  await screen.locator("#files").setInputFiles([pictures.good, pictures.bad]);
  await expect(screen.locator("li[data-standing=in] strong")).toHaveText("✓ GUT", { timeout: 120_000 });
  await expect(screen.locator("li[data-standing=out]")).toContainText(/Schlechteste Stelle 0,\d{3} ± 0,\d{3} mm, Grenze 0,500/, { timeout: 120_000 });
  await shoot(screen, "phone");
  expect(await screen.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);

  // The desk follows by itself, and the run has both sheets.
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", "out");
  await expect(page.getByRole("option")).toHaveCount(2);
  const [run] = await library.runs.list();
  expect(await library.checks.count(run.id)).toBe(2);

  // Who has not the code gets nothing, also with the address; a used code is void.
  const stranger = await browser.newContext();
  const answer = await stranger.request.get(url);
  expect(answer.status()).toBe(403);
  const direct = await stranger.request.post(`${new URL(url).origin}/picture?name=a.jpg`, { data: await readFile(pictures.good), headers: { origin: new URL(url).origin } });
  expect(direct.status()).toBe(403);

  await expect(page.getByText("Phone door open")).toBeVisible();
  await page.getByRole("button", { name: "Close the door" }).click();
  await expect(page.getByText("Phone door open")).toBeHidden();
  await screen.locator("#files").setInputFiles(pictures.good);
  await expect(screen.locator("li").first()).toContainText("Der Arbeitsplatz ist nicht zu erreichen");
  expect(phoneLog.filter((line) => !line.includes("ERR_CONNECTION"))).toEqual([]);
  expect(log).toEqual([]);
  await Promise.all([phone.close(), stranger.close()]);
});
