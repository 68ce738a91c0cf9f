import { z } from "zod";

/** What the page may ask of the shell, by channel. Nothing else is listened to, and nothing of another shape. */
export const MESSAGES = {
  /** Print the page to a PDF file that the user names. */
  "save-pdf": z.strictObject({ name: z.string().min(1).max(120).regex(/^[^/\\:*?"<>|\p{Cc}]+$/u), paper: z.enum(["A4", "Letter"]) }),
  /** Remember a file among the recent ones of the system. */
  "remember-file": z.strictObject({ path: z.string().min(1).max(4096) }),
  /** Files the program was opened with, once the page is ready for them. */
  "take-files": z.strictObject({}),
} as const;

export type Channel = keyof typeof MESSAGES;
export type Payload<C extends Channel> = z.output<(typeof MESSAGES)[C]>;

/** What the preload puts on `window.kerfmark`. */
export interface ShellBridge {
  /** Path of a dropped or picked file; "" for one that is not on a disk. */
  pathOf(file: File): string;
  savePdf(name: string, paper: "A4" | "Letter"): Promise<boolean>;
  rememberFile(path: string): Promise<void>;
  /** Files that the program was opened with; afterwards `listener` hears of further ones. */
  openedFiles(listener: (paths: string[]) => void): Promise<string[]>;
  /** A menu entry was chosen. */
  onMenu(listener: (command: MenuCommand) => void): void;
}

export type MenuCommand = "open" | "report" | "settings" | "help";
