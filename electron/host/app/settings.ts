import { mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { z } from "zod";

/** How this shop likes its screens; the same for every job. "system" follows the computer. */
export const settingsSchema = z.object({
  language: z.string().max(16),
  units: z.enum(["mm", "inch"]),
  decimal: z.enum(["language", "point", "comma"]),
  csvSeparator: z.enum(["comma", "semicolon", "tab"]),
  theme: z.enum(["system", "light", "dark", "contrast"]),
  textSize: z.enum(["normal", "large", "larger", "largest"]),
  shopName: z.string().max(120),
  /** Whether the first-start offer has been answered. */
  welcomed: z.boolean(),
});

export type Settings = z.infer<typeof settingsSchema>;

export const DEFAULTS: Settings = {
  language: "system",
  units: "mm",
  decimal: "language",
  csvSeparator: "comma",
  theme: "system",
  textSize: "normal",
  shopName: "",
  welcomed: false,
};

/** The settings file: read once, written whole under a temporary name and renamed. */
export class SettingsFile {
  readonly #path: string;
  #now: Settings | undefined;

  constructor(path: string) {
    this.#path = path;
  }

  /** An unreadable or damaged file gives the defaults: settings are never worth refusing to start for. */
  async read(): Promise<Settings> {
    if (this.#now) return this.#now;
    const text = await readFile(this.#path, "utf8").catch(() => "{}");
    const parsed = settingsSchema.partial().safeParse(parseOrEmpty(text));
    this.#now = { ...DEFAULTS, ...parsed.data };
    return this.#now;
  }

  async change(part: Partial<Settings>): Promise<Settings> {
    const next = { ...(await this.read()), ...part };
    await mkdir(dirname(this.#path), { recursive: true });
    await writeFile(`${this.#path}.draft`, JSON.stringify(next, null, 2));
    await rename(`${this.#path}.draft`, this.#path);
    this.#now = next;
    return next;
  }
}

function parseOrEmpty(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
}
