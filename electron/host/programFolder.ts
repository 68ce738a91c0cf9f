import { existsSync } from "node:fs";
import path from "node:path";

/** The folder with our package.json: of the checkout, or of the installed program. */
export function programFolder(): string {
  let folder = import.meta.dirname;
  // The build leaves a copy of package.json in dist/ for the version; the program's folder is the one above.
  while (!existsSync(path.join(folder, "package.json")) || path.basename(folder) === "dist") {
    const above = path.dirname(folder);
    if (above === folder) throw new Error("The program's own folder cannot be found.");
    folder = above;
  }
  return folder;
}
