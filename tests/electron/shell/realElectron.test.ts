import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { _electron } from "@playwright/test";
import { describe, expect, it } from "vitest";
import { programUpToDate, screensUpToDate } from "../../../tools/building.ts";
import { installed } from "../../../tools/electronBinary.ts";

const binary = installed();
const canShow = process.platform !== "linux" || process.env.DISPLAY !== undefined || process.env.WAYLAND_DISPLAY !== undefined;

describe.skipIf(binary === undefined || !canShow)("the real Electron", () => {
  it("opens the screens without a port, isolated and without Node", async () => {
    await screensUpToDate();
    await programUpToDate();
    const home = mkdtempSync(path.join(tmpdir(), "kerfmark-electron-"));
    const root = path.resolve(import.meta.dirname, "../../..");
    const asRoot = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
    const program = await _electron.launch({ executablePath: binary, args: [...asRoot, `--user-data-dir=${home}/data`, root], env: { ...process.env, KERFMARK_LIBRARY: `${home}/library` } });
    try {
      const window = await program.firstWindow();
      await window.waitForLoadState();
      expect(window.url()).toMatch(/^kerfmark:\/\/desk\//);
      expect(await window.evaluate(() => ["require", "process"].map((name) => typeof Reflect.get(globalThis, name)))).toEqual(["undefined", "undefined"]);
      expect(await window.evaluate(async () => (await fetch("/api/about")).status)).toBe(200);
      expect(await window.evaluate(() => globalThis.open("https://kerfmark.example"))).toBeNull();
    } finally {
      await program.close();
      rmSync(home, { recursive: true, force: true });
    }
  });
});
