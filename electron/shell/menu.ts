import { type BrowserWindow, Menu, type MenuItemConstructorOptions } from "electron";
import type { MenuCommand } from "./messages.ts";

/** The menu with each platform's usual places and shortcuts; commands of our own go to the page. */
export function setMenu(window: () => BrowserWindow | null): void {
  const command = (label: string, name: MenuCommand, accelerator: string): MenuItemConstructorOptions => ({
    label,
    accelerator,
    click: () => window()?.webContents.send("menu", name),
  });
  const isMac = process.platform === "darwin";
  const settings = command("Settings…", "settings", "CmdOrCtrl+,");
  const appMenu: MenuItemConstructorOptions = {
    role: "appMenu",
    submenu: [{ role: "about" }, { type: "separator" }, settings, { type: "separator" }, { role: "hide" }, { role: "quit" }],
  };
  const template: MenuItemConstructorOptions[] = [
    ...(isMac ? [appMenu] : []),
    {
      role: "fileMenu",
      submenu: [
        command("Open…", "open", "CmdOrCtrl+O"),
        { role: "recentDocuments", submenu: [{ role: "clearRecentDocuments" }] },
        { type: "separator" },
        command("Report…", "report", "CmdOrCtrl+P"),
        { type: "separator" },
        ...(isMac ? [] : [settings, { type: "separator" } as const]),
        isMac ? { role: "close" } : { role: "quit" },
      ],
    },
    { role: "editMenu" },
    { role: "viewMenu", submenu: [{ role: "resetZoom" }, { role: "zoomIn" }, { role: "zoomOut" }, { type: "separator" }, { role: "togglefullscreen" }] },
    { role: "windowMenu" },
    { role: "help", submenu: [command("Manual", "help", "F1")] },
  ];
  Menu.setApplicationMenu(Menu.buildFromTemplate(template));
}
