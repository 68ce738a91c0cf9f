import AxeBuilder from "@axe-core/playwright";
import type { Page } from "@playwright/test";
import { expect, test } from "./fixture/desk.ts";
import { shoot } from "./fixture/shoot.ts";

const THEMES = ["light", "dark", "contrast"] as const;

/** Pictures for the docs: every screen in light, the main one in all themes; the licences name people and firms that have no place there, the records a folder of this machine. */
const isShown = (screen: string, theme: string) => screen !== "licences" && screen !== "records" && (theme === "light" || screen === "check-in");

/** Every screen, by the address that shows it and what must be there before it is looked at. */
const SCREENS: readonly { readonly name: string; readonly show: (page: Page) => Promise<void> }[] = [
  { name: "start", show: async () => {} },
  { name: "check-in", show: async (page) => {
    await page.getByRole("button", { name: "Try the sample job" }).click();
    await measured(page, "in");
    // All of it is in sight: neither the place nor the window scrolls into emptiness.
    expect(await page.locator("main").evaluate((main) => main.scrollHeight - main.clientHeight)).toBe(0);
  } },
  { name: "check-out", show: async (page) => {
    await page.getByRole("option").nth(1).click();
    await measured(page, "out");
  } },
  { name: "runs", show: async (page) => {
    await page.getByRole("link", { name: "Runs" }).click();
    await expect(page.getByRole("link", { name: /Demo run/ })).toBeVisible();
  } },
  { name: "tray", show: async (page) => {
    await page.getByRole("link", { name: /Hot folder and tray/ }).click();
    await expect(page.getByRole("heading", { name: "Tray", exact: true })).toBeVisible();
  } },
  { name: "records", show: async (page) => {
    await page.getByRole("link", { name: "Runs" }).first().click();
    await page.getByRole("link", { name: "Records" }).click();
    await expect(page.getByRole("button", { name: "Back up now" })).toBeVisible();
  } },
  { name: "run-advice", show: async (page) => {
    await page.getByRole("link", { name: "Runs" }).first().click();
    await page.getByRole("link", { name: /Demo run/ }).click();
    await expect(page.getByRole("heading", { name: "CORRECT NOW" })).toBeVisible();
  } },
  { name: "run-trend", show: async (page) => {
    await page.getByRole("tab", { name: "Charts" }).click();
    await expect(page.locator(".chart canvas")).toBeVisible();
    await expect(page.getByText("The drift chart is outside its limits at the end of the run.")).toBeVisible();
  } },
  { name: "run-set-aside", show: async (page) => {
    await page.getByRole("tab", { name: "Set aside" }).click();
    await expect(page.getByText(/Check sheet \d+ next/)).toBeVisible();
  } },
  { name: "run-events", show: async (page) => {
    await page.getByRole("tab", { name: "Events" }).click();
    await expect(page.getByRole("button", { name: "Enter", exact: true })).toBeVisible();
  } },
  { name: "run-sampling", show: async (page) => {
    await page.getByRole("tab", { name: "How often to check" }).click();
    await expect(page.getByText(/^Check every/)).toBeVisible();
  } },
  { name: "guide", show: async (page) => {
    await page.getByRole("link", { name: "Guide" }).click();
    for (const chapter of ["Read the verdict", "What to do on UNSURE"]) {
      await page.getByRole("link", { name: chapter }).click();
      await expect(page.getByRole("heading", { name: chapter })).toBeInViewport();
    }
    await page.getByRole("link", { name: "Before you begin" }).click();
  } },
  { name: "licences", show: async (page) => {
    await page.getByRole("link", { name: "Settings", exact: true }).click();
    await page.getByRole("link", { name: "Licences of the parts" }).click();
    await page.getByText("pdfkit", { exact: true }).click();
    await expect(page.locator("details[open] pre")).toContainText("Permission is hereby granted");
  } },
  { name: "settings", show: async (page) => {
    await page.getByRole("link", { name: "Settings", exact: true }).click();
    await expect(page.getByRole("heading", { name: "Settings" })).toBeVisible();
  } },
];

async function measured(page: Page, standing: string): Promise<void> {
  await expect(page.getByRole("region", { name: "Verdict" })).toHaveAttribute("data-standing", standing, { timeout: 120_000 });
  await expect(page.locator("canvas[data-ready=true]")).toBeVisible();
}

// Each test walks through the whole program; on a busy machine that takes its time.
test.describe.configure({ timeout: 600_000 });

test("every screen is accessible in every theme", async ({ page, open, log, demoRun }) => {
  await demoRun();
  await page.setViewportSize({ width: 1366, height: 800 });
  // Else buttons are looked at while their colours change from one theme's to the next.
  await page.emulateMedia({ reducedMotion: "reduce" });
  await open();
  await settings(page, { theme: "light" });
  for (const screen of SCREENS) {
    await screen.show(page);
    for (const theme of THEMES) {
      // The theme is an attribute of the root element: nothing has to be walked again for the next one.
      await page.evaluate((name) => (document.documentElement.dataset["theme"] = name), theme);
      const axe = new AxeBuilder({ page });
      // A theme changes colours alone.
      const found = await (theme === "light" ? axe.withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]) : axe.withRules(["color-contrast"])).analyze();
      expect(found.violations.map(({ id, nodes }) => `${screen.name}, ${theme}: ${id} ${nodes.map((node) => node.html).join(" | ")}`)).toEqual([]);
      if (isShown(screen.name, theme)) await shoot(page, `${screen.name}-${theme}`);
    }
  }
  expect(log).toEqual([]);
});

test("double text and a narrow window lose nothing", async ({ page, open }) => {
  await page.setViewportSize({ width: 1280, height: 800 });
  await open();
  await settings(page, { textSize: "largest", language: "de", theme: "light" });
  await page.getByRole("button", { name: "Beispielauftrag ansehen" }).click();
  await expect(page.getByRole("region", { name: "Urteil" })).toHaveAttribute("data-standing", "in", { timeout: 120_000 });
  for (const width of [1280, 700, 390]) {
    await page.setViewportSize({ width, height: 800 });
    expect(await spilling(page)).toEqual([]);
    // All places can be reached without moving the rail along.
    for (const link of await page.getByRole("navigation").getByRole("link").all()) await expect(link).toBeInViewport({ ratio: 0.99 });
    await shoot(page, `check-double-${width}`);
  }
});

/** Addresses of every place and what lies in it. */
const PLACES = [
  "check/phone", "check/camera", "runs", "runs/tray", "runs/records", "runs/1/now", "runs/1/charts", "runs/1/aside", "runs/1/print", "runs/1/events", "runs/1/sampling", "runs/1/sheets",
  "check/run/1/5", "jobs", "jobs/import", "jobs/1", "jobs/1/design", "jobs/1/out", "jobs/1/versions", "cameras", "cameras/new", "guide", "settings", "settings/licences",
];

test("double text spills out of no place, however narrow the window", async ({ page, open, demoRun }) => {
  await demoRun();
  await open();
  await settings(page, { textSize: "largest", language: "de", theme: "light" });
  await page.evaluate(() => fetch("/api/desk/sample", { method: "POST" }));
  await page.reload();
  for (const width of [1280, 700, 390]) {
    await page.setViewportSize({ width, height: 800 });
    for (const place of PLACES) {
      await page.evaluate((hash) => (location.hash = hash), place);
      await expect(page.getByText("Wird geladen …")).toHaveCount(0);
      await expect(page.locator("main")).not.toBeEmpty();
      await expect.poll(() => spilling(page), `${place} at ${width}`).toEqual([]);
    }
  }
});

/** What sticks out of the place to the right although nothing round it scrolls, or makes the window itself scroll. */
function spilling(page: Page): Promise<string[]> {
  return page.locator("main").evaluate((main) => {
    const { scrollHeight } = document.documentElement;
    const below = scrollHeight > innerHeight + 1 ? [`the window scrolls to ${scrollHeight} px`] : [];
    if (main.scrollWidth <= main.clientWidth + 1) return below;
    const edge = main.getBoundingClientRect().right;
    return [...below, ...[...main.querySelectorAll("*")].filter((one) => one.getBoundingClientRect().right > edge + 1).map((one) => `${one.tagName} ${one.getAttribute("class")}`)];
  });
}

async function settings(page: Page, part: object): Promise<void> {
  await page.evaluate((body) => fetch("/api/settings", { method: "PATCH", headers: { "content-type": "application/json" }, body }), JSON.stringify(part));
  await page.reload();
}
