import { Menu, type MenuItemConstructorOptions } from "electron";
import type { ShellWords } from "./words.ts";

export interface MenuActions {
  open(): void;
  print(): void;
  go(place: "settings" | "guide"): void;
}

/** The menu with each platform's usual places and shortcuts. */
export function setMenu(words: ShellWords, { open, print, go }: MenuActions): void {
  const isMac = process.platform === "darwin";
  const settings: MenuItemConstructorOptions = { label: words.settings, accelerator: "CmdOrCtrl+,", click: () => go("settings") };
  const appMenu: MenuItemConstructorOptions = {
    role: "appMenu",
    submenu: [{ role: "about" }, { type: "separator" }, settings, { type: "separator" }, { role: "hide" }, { role: "quit" }],
  };
  const template: MenuItemConstructorOptions[] = [
    ...(isMac ? [appMenu] : []),
    {
      role: "fileMenu",
      submenu: [
        { label: words.open, accelerator: "CmdOrCtrl+O", click: open },
        { role: "recentDocuments", submenu: [{ role: "clearRecentDocuments" }] },
        { type: "separator" },
        { label: words.print, accelerator: "CmdOrCtrl+P", click: print },
        { type: "separator" },
        ...(isMac ? [] : [settings, { type: "separator" } as const]),
        isMac ? { role: "close" } : { role: "quit" },
      ],
    },
    { role: "editMenu" },
    { role: "viewMenu", submenu: [{ role: "resetZoom" }, { role: "zoomIn" }, { role: "zoomOut" }, { type: "separator" }, { role: "togglefullscreen" }] },
    { role: "windowMenu" },
    { role: "help", submenu: [{ label: words.guide, accelerator: "F1", click: () => go("guide") }] },
  ];
  Menu.setApplicationMenu(Menu.buildFromTemplate(template));
}
