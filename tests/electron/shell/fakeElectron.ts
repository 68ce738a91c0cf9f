import { EventEmitter } from "node:events";
import { tmpdir } from "node:os";
import { vi } from "vitest";

/**
 * Electron's side of the boundary, for machines where its binary cannot be had: it notes what it is asked and lets a test play the system's part.
 * What it stands in for is only what the shell calls, by Electron's documented signatures.
 */
export function fakeElectron() {
  const handlers: Record<string, unknown> = {};
  const app = Object.assign(new EventEmitter(), {
    isPackaged: false,
    requestSingleInstanceLock: vi.fn(() => true),
    quit: vi.fn(), exit: vi.fn(), enableSandbox: vi.fn(), addRecentDocument: vi.fn(),
    whenReady: vi.fn(async () => undefined), getLocale: () => "en", getPath: () => `${tmpdir()}/kerfmark-fake-${process.pid}`,
  });
  const dialog = {
    showMessageBox: vi.fn(async () => ({ response: 0 })), showMessageBoxSync: vi.fn(() => 0),
    showOpenDialog: vi.fn(async () => ({ filePaths: [] as string[] })),
  };
  const session = { defaultSession: {
    setPermissionRequestHandler: (one: unknown) => (handlers["request"] = one),
    setPermissionCheckHandler: (one: unknown) => (handlers["check"] = one),
    setDevicePermissionHandler: (one: unknown) => (handlers["device"] = one),
  } };
  const windows: FakeWindow[] = [];
  class BrowserWindow extends FakeWindow {
    constructor(options: Record<string, unknown>) {
      super(options);
      windows.push(this);
    }
  }
  const protocol = { registerSchemesAsPrivileged: vi.fn(), handle: vi.fn() };
  const shell = { openExternal: vi.fn(async () => undefined) };
  const screen = { getAllDisplays: () => [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }] };
  const menus: Entry[][] = [];
  const Menu = { buildFromTemplate: (template: Entry[]) => template, setApplicationMenu: (template: Entry[]) => void menus.push(template) };
  const contextBridge = { exposeInMainWorld: vi.fn() };
  const ipcRenderer = new EventEmitter();
  return { app, dialog, session, BrowserWindow, protocol, shell, screen, Menu, contextBridge, ipcRenderer, handlers, windows, menus };
}

/** An entry of a menu's template. */
export interface Entry {
  readonly role?: string;
  readonly label?: string;
  readonly accelerator?: string;
  readonly submenu?: readonly Entry[];
  click?(): void;
}

export class FakeWindow extends EventEmitter {
  readonly options: Record<string, unknown>;
  readonly webContents = Object.assign(new EventEmitter(), { send: vi.fn(), print: vi.fn(), setWindowOpenHandler: vi.fn() });
  readonly loadURL = vi.fn(async () => undefined);
  readonly show = vi.fn();
  readonly maximize = vi.fn();
  readonly focus = vi.fn();
  readonly restore = vi.fn();
  isMinimized = () => false;
  isMaximized = () => false;
  getNormalBounds = () => ({ x: 5, y: 6, width: 900, height: 700 });

  constructor(options: Record<string, unknown>) {
    super();
    this.options = options;
  }
}
