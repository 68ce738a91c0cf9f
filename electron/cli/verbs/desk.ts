import type { Command } from "commander";
import { defaultLibraryFolder } from "../../host/library/place.ts";

/** `kerfmark desk`: the screens in the system's browser. */
export function register(program: Command): void {
  program.command("desk").description("Opens the screens in this machine's browser.")
    .option("--library <dir>", "the library's folder", defaultLibraryFolder())
    .option("--no-browser", "only print the address")
    .option("--sample", "lay the sample sheet on the desk")
    .action(async ({ library, browser, sample }: { library: string; browser: boolean; sample?: boolean }) => {
      const { openDesk } = await import("../desk/desk.ts");
      await openDesk({ library, browser, withSample: sample });
    });
}
