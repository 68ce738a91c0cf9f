/** What the preload puts on `window.kerfmark` in a window of ours: the shell tells, the page never asks. */
export interface ShellBridge {
  /** Something was laid on the desk by the shell: a file opened with the program, by its icon or by the menu. */
  onDeskChanged(listener: () => void): void;
  /** A menu entry was chosen that leads to a place. */
  onGo(listener: (place: "settings" | "guide") => void): void;
}
