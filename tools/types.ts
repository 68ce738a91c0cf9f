/** `npm run types`: every environment's TypeScript project. */
import { PROJECTS, types } from "./checks.ts";

for (const project of PROJECTS) if ((await types(project)) !== 0) process.exitCode = 1;
