import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { leaveCrashNote, takeCrashNote } from "../../../electron/shell/crashNote.ts";
import { isAllowedLink } from "../../../electron/shell/links.ts";
import { MESSAGES } from "../../../electron/shell/messages.ts";
import { filesIn } from "../../../electron/shell/openedFiles.ts";
import { isOurs, schemeHandler } from "../../../electron/shell/scheme.ts";
import { onScreen, readWindowState, writeWindowState } from "../../../electron/shell/windowState.ts";

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

describe("messages", () => {
  it("take payloads of their shape only", () => {
    expect(MESSAGES["save-pdf"].safeParse({ name: "TRAY-7 sheet 17", paper: "A4" }).success).toBe(true);
    for (const name of ["../x", "a/b", "a\\b", "", "a\u0000b", "x".repeat(121)]) expect(MESSAGES["save-pdf"].safeParse({ name, paper: "A4" }).success, name).toBe(false);
    expect(MESSAGES["take-files"].safeParse({ more: 1 }).success).toBe(false);
    expect(MESSAGES["remember-file"].safeParse({ path: 7 }).success).toBe(false);
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

it("the window is a stranger to Node, and no file but the shell's imports Electron", () => {
  const source = readFileSync(path.join(import.meta.dirname, "../../../electron/shell/window.ts"), "utf8");
  for (const line of ["contextIsolation: true", "sandbox: true", "nodeIntegration: false", "webSecurity: true", "webviewTag: false"]) expect(source).toContain(line);
  const sources = readdirSync(path.join(import.meta.dirname, "../../../electron"), { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".ts"));
  const importing = sources.filter((file) => /from "electron"/.test(readFileSync(path.join(import.meta.dirname, "../../../electron", file), "utf8")));
  expect(importing.every((file) => file.startsWith("shell"))).toBe(true);
});
