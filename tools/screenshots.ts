/** `npm run screenshots`: writes the pictures of the screens that README.md shows. */
import { runBin } from "./run.ts";

process.exitCode = await runBin("@playwright/test", "playwright", ["test", ...process.argv.slice(2)], { KERFMARK_SCREENSHOTS: "1" });
