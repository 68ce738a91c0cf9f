/** The script behind the command `kerfmark` (tools/kerfmark.mjs). */
import { main } from "./main.ts";

process.exitCode = await main();
