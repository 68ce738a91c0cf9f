import { validator } from "hono/validator";
import type { z } from "zod";
import { AppFault } from "../fault.ts";

/** Checks a JSON body against a schema; the route then reads it with `c.req.valid("json")`. */
export function json<Schema extends z.ZodType>(schema: Schema) {
  return validator("json", (value): z.output<Schema> => check(schema, value));
}

/** Checks the query string against a schema. */
export function query<Schema extends z.ZodType>(schema: Schema) {
  return validator("query", (value): z.output<Schema> => check(schema, value));
}

function check<Schema extends z.ZodType>(schema: Schema, value: unknown): z.output<Schema> {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const first = parsed.error.issues[0];
  throw new AppFault(400, "bad-request", `${first.path.join(".") || "request"}: ${first.message}`, "This is a fault of the program: report it.");
}
