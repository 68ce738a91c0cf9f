import { readFileSync } from "node:fs";
import { Command } from "commander";
import { explain, UsageFault } from "./exit.ts";

/**
 * The verbs. Each module exports `register(program)`, which describes the verb and does nothing else when it is loaded: what
 * a verb needs beyond commander it imports inside its action, so that one verb does not pay for another's libraries.
 */
const VERBS: Readonly<Record<string, () => Promise<{ register(program: Command): void }>>> = {
  check: () => import("./verbs/check.ts"),
  calibrate: () => import("./verbs/calibrate.ts"),
  design: () => import("./verbs/design.ts"),
  desk: () => import("./verbs/desk.ts"),
  export: () => import("./verbs/export.ts"),
  library: () => import("./verbs/library.ts"),
  import: () => import("./verbs/import.ts"),
  report: () => import("./verbs/report.ts"),
  sample: () => import("./verbs/sample.ts"),
  setaside: () => import("./verbs/setaside.ts"),
  trend: () => import("./verbs/trend.ts"),
  gauge: () => import("./verbs/gauge.ts"),
  watch: () => import("./verbs/watch.ts"),
};

/** Runs the command line and returns the exit status. Errors are told on standard error; nothing is thrown. */
export async function main(args: readonly string[] = process.argv.slice(2)): Promise<number> {
  const verb = args.find((a) => !a.startsWith("-")) ?? "";
  try {
    const program = frame();
    const wanted = VERBS[verb] ? [VERBS[verb]] : Object.values(VERBS);
    for (const module of await Promise.all(wanted.map((load) => load()))) module.register(program);
    if (args.length === 0) throw new UsageFault("No verb was given.", "See kerfmark --help for what there is.");
    await program.parseAsync([...args], { from: "user" });
    return Number(process.exitCode ?? 0);
  } catch (error) {
    const { text, status } = explain(error, VERBS[verb] ? verb : "");
    process.stderr.write(text);
    return status;
  }
}

/** The program without verbs. Verbs made by `program.command()` inherit its way of failing: an exception, nothing printed. */
function frame(): Command {
  return new Command("kerfmark")
    .description("Measures, from a photo or a scan of a finished sheet, whether the cut sits where the print says it should.")
    .version(version(), "-V, --version", "print the version")
    .helpOption("-h, --help", "print this help")
    .helpCommand("help [verb]", "print the help of a verb")
    .exitOverride()
    .configureOutput({ writeErr: () => undefined, outputError: () => undefined })
    .showSuggestionAfterError(true)
    .addHelpText("after", "\nExit status: 0 all in; 1 some out or unsure; 2 some refused; 64 wrong usage; 65 bad job or data file; 66 no such input.");
}

function version(): string {
  const text = readFileSync(new URL("../../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}

// A reader that has seen enough (`| head`) is no error.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

if (import.meta.main) process.exitCode = await main();
