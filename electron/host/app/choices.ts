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
  /** Whether a logo is kept beside the settings. */
  hasLogo: z.boolean(),
  paper: z.enum(["a4", "letter"]),
  /** Which camera or scanner profile pictures are measured with: that of the camera each picture names, none, or always the one of this number. */
  profile: z.string().regex(/^(auto|none|\d+)$/),
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
  hasLogo: false,
  paper: "a4",
  profile: "auto",
  welcomed: false,
};
