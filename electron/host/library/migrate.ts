import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { Migrator, type Migration } from "kysely/migration";
import type { Opened } from "./connection.ts";
import { asLibraryFault, LibraryFault } from "./faults.ts";
import { MIGRATIONS } from "./migrations/index.ts";
import { BACKUPS } from "./place.ts";
import { writeBackup } from "./backup.ts";

/**
 * Brings the database to the newest form. What exists is backed up before each migration; a migration is one transaction.
 * Returns the paths of the backups made.
 * @throws LibraryFault, also where a newer Kerfmark has written the library
 */
export async function migrate(opened: Opened, folder: string, migrations: Readonly<Record<string, Migration>> = MIGRATIONS): Promise<string[]> {
  const migrator = new Migrator({ db: opened.db, provider: { getMigrations: async () => ({ ...migrations }) } });
  const applied = appliedMigrations(opened);
  const unknown = applied.find((name) => !(name in migrations));
  if (unknown) {
    throw new LibraryFault("newer", `The library was written by a newer Kerfmark (it knows "${unknown}"): ${opened.file}.`, "Update this program; the library is left as it is.");
  }
  // A library being made has nothing to lose.
  const fresh = applied.length === 0;
  const backups: string[] = [];
  for (const name of Object.keys(migrations).sort()) {
    if (applied.includes(name)) continue;
    if (!fresh) {
      mkdirSync(join(folder, BACKUPS), { recursive: true });
      backups.push(await writeBackup(opened, join(folder, BACKUPS, `before-${name}.sqlite`)));
    }
    const { error } = await migrator.migrateTo(name);
    if (error) throw asLibraryFault(error, opened.file);
    applied.push(name);
  }
  return backups;
}

/** Names of the migrations that the database has been through; none in a new one. */
export function appliedMigrations({ raw }: Pick<Opened, "raw">): string[] {
  const known = raw.prepare("select 1 from sqlite_master where type = 'table' and name = 'kysely_migration'").get();
  return known ? (raw.prepare("select name from kysely_migration order by name").pluck().all() as string[]) : [];
}
