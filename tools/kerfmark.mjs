#!/usr/bin/env node
// The command `kerfmark`. In a checkout it runs the sources; in an installed package, where Node strips no types, what
// `npm pack` built from them.
import { existsSync } from "node:fs";
import path from "node:path";
import { bootstrap, giveUp, root } from "./bootstrap.mjs";

const source = "electron/cli/kerfmark.ts";
const script = existsSync(path.join(root, source)) ? source : "dist/electron/cli/kerfmark.js";
await bootstrap(script, process.argv.slice(2)).catch(giveUp);
