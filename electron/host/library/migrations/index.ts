import type { Migration } from "kysely/migration";
import * as first from "./001-first.ts";
import * as drafts from "./002-drafts.ts";
import * as choices from "./003-choices.ts";

/** All migrations in their order. */
export const MIGRATIONS: Readonly<Record<string, Migration>> = { "001-first": first, "002-drafts": drafts, "003-choices": choices };
