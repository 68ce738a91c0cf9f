import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { leaveCrashNote, takeCrashNote } from "../../../electron/shell/crashNote.ts";
import { isAllowedLink } from "../../../electron/shell/links.ts";
import { layFiles } from "../../../electron/shell/layFiles.ts";
import { filesIn } from "../../../electron/shell/openedFiles.ts";
import { isOurs, schemeHandler } from "../../../electron/shell/scheme.ts";
import { onScreen, readWindowState, writeWindowState } from "../../../electron/shell/windowState.ts";
import { shellWords } from "../../../electron/shell/words.ts";
import { createApp } from "../../../electron/host/app/app.ts";
import { JOB } from "../../screens/fixture/sheets.ts";

const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-shell-"));
afterAll(() => rmSync(folder, { recursive: true }));

describe("addresses", () => {
  it("are ours by scheme and host, not by how they begin", () => {
    for (const ours of ["kerfmark://desk/", "kerfmark://desk/index.html#sheet"]) expect(isOurs(ours), ours).toBe(true);
    for (const other of ["kerfmark://desk.example/", "https://desk/", "file:///desk/", "kerfmark://other/", "javascript:alert(1)", "", "kerfmark:desk"]) {
      expect(isOurs(other), other).toBe(false);
    }
  });

  it("leave the program only by https and the list", () => {
    expect(isAllowedLink("https://www.bipm.org/en/publications")).toBe(true);
    for (const bad of ["http://www.bipm.org/", "https://www.bipm.org.example/", "https://a@www.bipm.org/", "https://www.bipm.org:444/", "file:///etc/passwd", "mailto:a@b.example"]) {
      expect(isAllowedLink(bad), bad).toBe(false);
    }
  });
});

describe("the scheme", () => {
  const handle = schemeHandler({ fetch: () => new Response("api") }, async (pathname) => new Response(`file ${pathname}`));

  it("passes requests of our page to the application and the files, with the security headers", async () => {
    const answer = await handle(new Request("kerfmark://desk/api/about", { headers: { origin: "kerfmark://desk" } }));
    expect(await answer.text()).toBe("api");
    expect(answer.headers.get("content-security-policy")).toMatch(/^default-src 'none'/);
    expect(await (await handle(new Request("kerfmark://desk/"))).text()).toBe("file /");
  });

  it("refuses other hosts and other pages", async () => {
    expect((await handle(new Request("kerfmark://other/api/about"))).status).toBe(403);
    expect((await handle(new Request("kerfmark://desk/api/about", { headers: { origin: "https://kerfmark.example" } }))).status).toBe(403);
  });
});

describe("files laid on the desk by the shell", () => {
  const sheets: string[] = [];
  const pool = { workers: 1, check: async () => Promise.reject(new Error("not asked")), sort: async () => Promise.reject(new Error("not asked")), preview: async () => Promise.reject(new Error("not asked")), rewriteHeic: async () => undefined };
  const app = createApp({ pool, dataDir: path.join(folder, "desk"), samplesDir: folder, version: "0.0.0-test" });
  const put = (name: string, text: string) => {
    writeFileSync(path.join(folder, name), text);
    return path.join(folder, name);
  };
  const desk = async () => (await (await app.request("/api/desk")).json()) as { job: { id: string } | null; pictures: { name: string; from: string }[] };

  it("open their job first, and pictures go to it", async () => {
    sheets.push(put("b.jpg", "picture b"), put("a.job.json", JSON.stringify(JOB)), put("c.jpg", "picture c"));
    expect(await layFiles(app, sheets)).toEqual([]);
    expect((await desk()).job?.id).toBe(JOB.id);
    expect((await desk()).pictures.map(({ name, from }) => [name, from])).toEqual([["b.jpg", "shell"], ["c.jpg", "shell"]]);
  });

  it("that cannot be taken in are named with what to do, and change nothing", async () => {
    const faults = await layFiles(app, [put("broken.json", "{"), put("empty.jpg", ""), path.join(folder, "gone.jpg")]);
    expect(faults).toHaveLength(3);
    expect(faults[0]).toMatch(/^broken\.json: .*not JSON/);
    expect(faults[1]).toMatch(/^empty\.jpg: "empty\.jpg" is empty\./);
    expect(faults[2]).toBe("gone.jpg: The file is not there any more, or may not be read.");
    expect((await desk()).pictures).toHaveLength(2);
  });
});

describe("the shell's own words", () => {
  it("are German where the system is, else English, and say the same things", () => {
    expect(shellWords("de-AT").settings).toBe("Einstellungen …");
    expect(shellWords("fr").settings).toBe("Settings…");
    expect(Object.keys(shellWords("de"))).toEqual(Object.keys(shellWords("en")));
  });
});

describe("files the program is opened with", () => {
  it("are those of kinds it opens, from the folder of the start", () => {
    expect(filesIn(["--flag", "a.job.json", "notes.exe", "/b/SHEET.JPG"], "/shop")).toEqual([path.resolve("/shop/a.job.json"), path.resolve("/b/SHEET.JPG")]);
  });
});

describe("the window's place", () => {
  const state = { x: 10, y: 20, width: 1000, height: 700, maximized: false };

  it("survives being written and read, and a broken file is no fault", () => {
    const file = path.join(folder, "window.json");
    expect(readWindowState(file)).toBeUndefined();
    writeWindowState(file, state);
    expect(readWindowState(file)).toEqual(state);
    for (const broken of ["", "{", "[]", '{"x":1e999}']) {
      writeFileSync(file, broken);
      expect(readWindowState(file), broken).toBeUndefined();
    }
  });

  it("is given up when its screen is gone", () => {
    const screen = { x: 0, y: 0, width: 1920, height: 1080 };
    expect(onScreen(state, [screen])).toEqual(state);
    expect(onScreen({ ...state, x: 2500 }, [screen])).toBeUndefined();
    expect(onScreen({ ...state, y: -300 }, [screen])).toBeUndefined();
  });
});

it("a crash leaves a note that is told once", () => {
  const file = path.join(folder, "crash.txt");
  leaveCrashNote(file, "it broke", new Date("2026-01-02T03:04:05Z"));
  expect(takeCrashNote(file)).toBe("2026-01-02T03:04:05.000Z\nit broke\n");
  expect(takeCrashNote(file)).toBeUndefined();
});

describe("what the sources must and must not say", () => {
  const electronDir = path.join(import.meta.dirname, "../../../electron");
  const sources = readdirSync(electronDir, { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".ts")).map((file) => ({ file, text: readFileSync(path.join(electronDir, file), "utf8") }));
  const saying = (words: RegExp) => sources.filter(({ text }) => words.test(text)).map(({ file }) => file);

  it("the window is a stranger to Node", () => {
    const window = sources.find(({ file }) => file === path.join("shell", "window.ts"))?.text ?? "";
    for (const line of ["contextIsolation: true", "sandbox: true", "nodeIntegration: false", "webSecurity: true", "webviewTag: false", "navigateOnDragDrop: false"]) expect(window).toContain(line);
    expect(saying(/app\.enableSandbox\(\)/)).toEqual([path.join("shell", "main.ts")]);
  });

  it("none of the switches is thrown that the security list warns of", () => {
    expect(saying(/allowRunningInsecureContent|experimentalFeatures|enableBlinkFeatures|nodeIntegrationInSubFrames|allowpopups|webSecurity: false|loadFile\(|file:\/\//)).toEqual([]);
  });

  it("no message of the page is listened to, and the page gets no Electron object", () => {
    expect(saying(/\bipcMain\b/)).toEqual([]);
    const preload = sources.find(({ file }) => file === path.join("shell", "preload.ts"))?.text ?? "";
    expect(preload).not.toMatch(/ipcRenderer\.(send|invoke|sendSync|postMessage)/);
    expect(preload.match(/exposeInMainWorld/g)).toHaveLength(1);
    expect(preload).not.toMatch(/listener\(_?event/);
  });

  it("only the shell imports Electron", () => {
    expect(saying(/from "electron"/).every((file) => file.startsWith("shell"))).toBe(true);
  });
});
