import { LibraryFault } from "../../host/library/faults.ts";
import type { Library } from "../../host/library/library.ts";
import { DataFault, MissingFault, OutputFault, UsageFault, type Fault } from "../exit.ts";

/** Runs `work` on the library; its faults become the command line's, with their exit status. */
export async function onLibrary<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw error instanceof LibraryFault ? asFault(error) : error;
  }
}

/** Opens the library for a question about one of its runs. */
export async function onRun<T>(folder: string, number: string, ask: (library: Library, runId: number) => Promise<T>): Promise<T> {
  if (!/^[1-9]\d{0,9}$/.test(number)) throw new UsageFault(`"${number}" is not the number of a run.`, "Give a whole number of at least 1, or --csv FILE.");
  const { openLibrary } = await import("../../host/library/library.ts");
  return onLibrary(async () => {
    const library = await openLibrary(folder, { create: false });
    try {
      return await ask(library, Number(number));
    } finally {
      await library.close();
    }
  });
}

function asFault({ code, message, hint }: LibraryFault): Fault {
  switch (code) {
    case "missing":
    case "not-found":
      return new MissingFault(message, hint);
    case "invalid":
      return new UsageFault(message, hint);
    case "full":
    case "read-only":
    case "vanished":
    case "busy":
      return new OutputFault(message, hint);
    default:
      return new DataFault(message, hint);
  }
}
