import { LibraryFault } from "../../host/library/faults.ts";
import { DataFault, MissingFault, OutputFault, UsageFault, type Fault } from "../exit.ts";

/** Runs `work` on the library; its faults become the command line's, with their exit status. */
export async function onLibrary<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw error instanceof LibraryFault ? asFault(error) : error;
  }
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
