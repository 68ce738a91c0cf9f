/** `npm run lint`: the layers, the absence of circles and the rest of .oxlintrc.json. Options are handed to oxlint. */
import { lint } from "./checks.ts";

process.exitCode = await lint(process.argv.slice(2));
