// Writes the published JSON Schema of the job file from the zod schema that the reader uses.
import { mkdirSync, writeFileSync } from "node:fs";
import { z } from "zod";
import { jobSchema } from "../core/job/schema.ts";

const out = new URL("../docs/", import.meta.url);
mkdirSync(out, { recursive: true });
writeFileSync(new URL("job.schema.json", out), `${JSON.stringify(z.toJSONSchema(jobSchema, { io: "input" }), null, 2)}\n`);
