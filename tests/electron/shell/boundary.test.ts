import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { fakeElectron, FakeWindow } from "./fakeElectron.ts";
import { shellWords } from "../../../electron/shell/words.ts";

const host = vi.hoisted(() => ({ laid: [] as string[], closed: 0, given: {} as { chooseFolder?: () => Promise<string | null> } }));
vi.mock("../../../electron/host/host.ts", () => ({
  openHost: async (given: typeof host.given) => {
    host.given = given;
    return { app: { fetch: async (request: Request) => (host.laid.push(new URL(request.url).searchParams.get("name") ?? request.url), Response.json({ opened: true })) }, close: async () => void host.closed++ };
  },
}));
vi.mock("../../../electron/host/door/files.ts", () => ({ filesOf: async () => async () => new Response("page") }));

const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-boundary-"));
afterAll(() => rmSync(folder, { recursive: true }));
let system: ReturnType<typeof fakeElectron>;
const put = (name: string) => {
  writeFileSync(path.join(folder, name), "picture");
  return path.join(folder, name);
};

/** A fresh system and a program that has not been started. */
function afresh(): void {
  vi.resetModules();
  system = fakeElectron();
  vi.doMock("electron", () => system);
  host.laid.length = 0;
  host.closed = 0;
}

const watched = ["uncaughtException", "unhandledRejection"] as const;
const before = watched.map((name) => process.listeners(name as "uncaughtException"));
beforeEach(afresh);
// The program listens for faults of the whole process, here the test runner's.
afterEach(() => watched.forEach((name, i) => {
  for (const one of process.listeners(name as "uncaughtException")) if (!before[i].includes(one)) process.off(name, one);
}));

describe("permissions", () => {
  type Request = (contents: object, permission: string, answer: (granted: boolean) => void, details: object) => void;

  it("are refused but for the camera's picture on our page", async () => {
    const { session, handlers } = system;
    (await import("../../../electron/shell/guard.ts")).guardPermissions(session.defaultSession as never);
    const asked = (permission: string, details: object) => {
      let granted: boolean | undefined;
      (handlers["request"] as Request)({}, permission, (answer) => (granted = answer), details);
      return granted;
    };
    const ours = "kerfmark://desk/";
    expect(asked("media", { mediaTypes: ["video"], requestingUrl: ours })).toBe(true);
    for (const [permission, details] of [
      ["media", { mediaTypes: ["video", "audio"], requestingUrl: ours }], ["media", { mediaTypes: ["audio"], requestingUrl: ours }], ["media", { requestingUrl: ours }],
      ["media", { mediaTypes: ["video"], requestingUrl: "https://kerfmark.example/" }], ["geolocation", { requestingUrl: ours }], ["notifications", { requestingUrl: ours }],
      ["openExternal", { requestingUrl: ours }], ["fullscreen", { requestingUrl: ours }],
    ] as const) expect(asked(permission, details), `${permission} ${JSON.stringify(details)}`).toBe(false);
    const check = handlers["check"] as (contents: null, permission: string, origin: string, details: object) => boolean;
    expect(check(null, "media", "kerfmark://desk", { mediaType: "video" })).toBe(true);
    expect(check(null, "media", "kerfmark://desk", { mediaType: "audio" })).toBe(false);
    expect(check(null, "media", "https://desk", { mediaType: "video" })).toBe(false);
    expect(check(null, "clipboard-read", "kerfmark://desk", {})).toBe(false);
    expect((handlers["device"] as () => boolean)()).toBe(false);
  });
});

describe("pages", () => {
  it("cannot be left, opened beside or put inside; links on the list go to the system's browser", async () => {
    const { app, shell } = system;
    (await import("../../../electron/shell/guard.ts")).guardContents();
    const { webContents } = new FakeWindow({});
    app.emit("web-contents-created", {}, webContents);
    const stopped = (name: string, url?: string) => {
      const preventDefault = vi.fn();
      webContents.emit(name, { url, preventDefault });
      return preventDefault.mock.calls.length > 0;
    };
    for (const way of ["will-navigate", "will-redirect"]) {
      expect(stopped(way, "kerfmark://desk/#runs")).toBe(false);
      for (const away of ["https://kerfmark.example/", "file:///etc/passwd", "kerfmark://other/", "javascript:alert(1)"]) expect(stopped(way, away), `${way} ${away}`).toBe(true);
    }
    expect(stopped("will-attach-webview")).toBe(true);
    const [opened] = webContents.setWindowOpenHandler.mock.calls[0] as [(details: { url: string }) => { action: string }];
    expect(opened({ url: "https://www.bipm.org/en/" })).toEqual({ action: "deny" });
    expect(opened({ url: "https://kerfmark.example/" })).toEqual({ action: "deny" });
    expect(shell.openExternal.mock.calls).toEqual([["https://www.bipm.org/en/"]]);
  });
});

describe("the window", () => {
  it("is a stranger to Node, comes back where it was, and asks before pictures on their way are lost", async () => {
    const { windows, dialog } = system;
    const file = path.join(folder, "window.json");
    writeFileSync(file, JSON.stringify({ x: 40, y: 50, width: 1000, height: 700, maximized: true }));
    const { openWindow } = await import("../../../electron/shell/window.ts");
    const window = openWindow(file, shellWords("en")) as unknown as FakeWindow;
    expect(windows).toEqual([window]);
    expect(window.options).toMatchObject({ x: 40, y: 50, width: 1000, height: 700, show: false });
    expect(window.options["webPreferences"]).toEqual({
      preload: expect.stringMatching(/preload\.cjs$/) as string, contextIsolation: true, sandbox: true, nodeIntegration: false, webSecurity: true, webviewTag: false, navigateOnDragDrop: false, spellcheck: false,
    });
    expect(window.maximize).toHaveBeenCalled();
    expect(window.loadURL.mock.calls).toEqual([["kerfmark://desk/"]]);
    window.emit("ready-to-show");
    expect(window.show).toHaveBeenCalledOnce();

    const leave = (answer: number) => {
      dialog.showMessageBoxSync.mockReturnValueOnce(answer);
      const preventDefault = vi.fn();
      window.webContents.emit("will-prevent-unload", { preventDefault });
      return preventDefault.mock.calls.length > 0;
    };
    // Preventing the prevention lets the page go.
    expect([leave(0), leave(1)]).toEqual([false, true]);
    window.emit("close");
    expect(JSON.parse(readFileSync(file, "utf8"))).toEqual({ x: 5, y: 6, width: 900, height: 700, maximized: false });
  });

  it("gets two ways to be told something, and no object of Electron's", async () => {
    const { contextBridge, ipcRenderer } = system;
    await import("../../../electron/shell/preload.ts");
    const [name, bridge] = contextBridge.exposeInMainWorld.mock.calls[0] as [string, Record<string, (listener: (...told: unknown[]) => void) => unknown>];
    expect([name, Object.keys(bridge).sort()]).toEqual(["kerfmark", ["onDeskChanged", "onGo"]]);
    const told: unknown[][] = [];
    expect(bridge["onDeskChanged"]((...all) => told.push(all))).toBeUndefined();
    expect(bridge["onGo"]((...all) => told.push(all))).toBeUndefined();
    ipcRenderer.emit("desk-changed", { sender: "an event object" });
    ipcRenderer.emit("go", { sender: "an event object" }, "guide");
    expect(told).toEqual([[], ["guide"]]);
  });
});

describe("the menu", () => {
  it("has the platforms' usual places and shortcuts, each leading where it says", async () => {
    const { menus } = system;
    const { setMenu } = await import("../../../electron/shell/menu.ts");
    const done: string[] = [];
    setMenu(shellWords("en"), { open: () => done.push("open"), print: () => done.push("print"), go: (place) => done.push(place) });
    const all = menus[0].flatMap((menu) => menu.submenu ?? []);
    for (const [keys, what] of [["CmdOrCtrl+O", "open"], ["CmdOrCtrl+P", "print"], ["CmdOrCtrl+,", "settings"], ["F1", "guide"]]) {
      all.find(({ accelerator }) => accelerator === keys)?.click?.();
      expect(done.at(-1), keys).toBe(what);
    }
    expect(menus[0].map(({ role }) => role)).toEqual(expect.arrayContaining(["fileMenu", "editMenu", "viewMenu", "windowMenu", "help"]));
    expect(all.map(({ role }) => role)).toContain("recentDocuments");
    expect(all.map(({ role }) => role)).not.toContain("toggleDevTools");
  });
});

describe("the program", () => {
  const started = async () => {
    const fake = system;
    await import("../../../electron/shell/main.ts");
    return fake;
  };

  it("hands a second start to the first and leaves", async () => {
    const fake = system;
    fake.app.requestSingleInstanceLock.mockReturnValue(false);
    await import("../../../electron/shell/main.ts");
    expect(fake.app.quit).toHaveBeenCalledOnce();
    expect(fake.protocol.registerSchemesAsPrivileged).not.toHaveBeenCalled();
    expect(fake.windows).toEqual([]);
  });

  it("is sandboxed and guarded before its window opens, and lays files of a second start on the desk", async () => {
    const fake = await started();
    await expect.poll(() => fake.windows.length).toBe(1);
    const [window] = fake.windows;
    expect(fake.protocol.registerSchemesAsPrivileged.mock.calls[0][0]).toEqual([{ scheme: "kerfmark", privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } }]);
    expect(fake.app.enableSandbox).toHaveBeenCalledOnce();
    expect(fake.app.enableSandbox.mock.invocationCallOrder[0]).toBeLessThan(fake.app.whenReady.mock.invocationCallOrder[0]);
    expect(fake.protocol.handle.mock.calls[0][0]).toBe("kerfmark");
    expect(Object.keys(fake.handlers).sort()).toEqual(["check", "device", "request"]);

    const sheet = put("sheet.jpg");
    window.isMinimized = () => true;
    fake.app.emit("second-instance", {}, ["kerfmark", "--flag", "sheet.jpg"], folder);
    await expect.poll(() => window.webContents.send.mock.calls).toContainEqual(["desk-changed"]);
    expect(window.restore).toHaveBeenCalled();
    expect(host.laid).toEqual(["sheet.jpg"]);
    expect(fake.app.addRecentDocument.mock.calls).toEqual([[sheet]]);
    const preventDefault = vi.fn();
    fake.app.emit("open-file", { preventDefault }, put("icon.jpg"));
    await expect.poll(() => host.laid).toEqual(["sheet.jpg", "icon.jpg"]);
    expect(preventDefault).toHaveBeenCalled();
    fake.app.emit("second-instance", {}, ["kerfmark", "gone.jpg"], folder);
    await expect.poll(() => fake.dialog.showMessageBox.mock.calls.flat()).toContainEqual(expect.objectContaining({ type: "warning", detail: "gone.jpg: The file is not there any more, or may not be read." }));
    fake.dialog.showOpenDialog.mockResolvedValueOnce({ filePaths: ["/shop/scans"] });
    expect(await host.given.chooseFolder?.()).toBe("/shop/scans");
    expect(await host.given.chooseFolder?.()).toBeNull();
    fake.app.emit("window-all-closed");
    expect(fake.app.quit).toHaveBeenCalled();
    fake.app.emit("will-quit");
    await expect.poll(() => host.closed).toBe(1);
  });

  it("leaves a note when its screens stop, and tells it at the next start", async () => {
    const fake = await started();
    await expect.poll(() => fake.windows.length).toBe(1);
    mkdirSync(fake.app.getPath(), { recursive: true });
    fake.app.emit("render-process-gone", {}, {}, { reason: "crashed" });
    afresh();
    const next = await started();
    await expect.poll(() => next.windows.length).toBe(1);
    expect(next.dialog.showMessageBox.mock.calls.flat()).toContainEqual(expect.objectContaining({ type: "info", detail: expect.stringContaining("The screens stopped: crashed.") as string }));
    rmSync(fake.app.getPath(), { recursive: true });
  });

  it("ends with a note and a failing status when it cannot open", async () => {
    const fake = system;
    fake.app.whenReady.mockRejectedValueOnce(new Error("no screen to be had"));
    const said = vi.spyOn(console, "error").mockImplementation(() => undefined);
    await import("../../../electron/shell/main.ts");
    await expect.poll(() => fake.app.exit.mock.calls).toEqual([[70]]);
    expect(readFileSync(path.join(fake.app.getPath(), "crash.txt"), "utf8")).toContain("no screen to be had");
    said.mockRestore();
    rmSync(fake.app.getPath(), { recursive: true });
  });
});
