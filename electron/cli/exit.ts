import { CommanderError } from "commander";
import type { CheckRecord } from "../../core/check/record.ts";

/**
 * Exit statuses of every verb. 0, 1 and 2 speak of sheets; the others follow the BSD convention of sysexits.h.
 * `internal` (a fault of the program) and `noOutput` (the result could not be written) are not part of the contract.
 */
const EXIT = { allIn: 0, someNotIn: 1, someRefused: 2, usage: 64, data: 65, missing: 66, internal: 70, noOutput: 73, stopped: 130 } as const;

/**
 * A failure that people can do something about: `message` is one sentence that says what is wrong, `hint` one that says what
 * to do. `details` are further lines of the same kind (all the errors of a job file), printed between the two.
 */
export class Fault extends Error {
  readonly status: number;
  readonly hint: string;
  readonly details: readonly string[];

  constructor(status: number, message: string, hint: string, details: readonly string[] = []) {
    super(message);
    this.status = status;
    this.hint = hint;
    this.details = details;
  }
}

/** Wrong options or arguments: exit status 64. */
export class UsageFault extends Fault {
  constructor(message: string, hint: string) {
    super(EXIT.usage, message, hint);
  }
}

/** Something is wrong with, or not in, a file that was read (a job, a profile, a table): exit status 65. */
export class DataFault extends Fault {
  constructor(message: string, hint: string, details: readonly string[] = []) {
    super(EXIT.data, message, hint, details);
  }
}

/** A named input is not there: exit status 66. */
export class MissingFault extends Fault {
  constructor(message: string, hint: string) {
    super(EXIT.missing, message, hint);
  }
}

/** The result cannot be written where it was asked for: exit status 73. */
export class OutputFault extends Fault {
  constructor(message: string, hint: string) {
    super(EXIT.noOutput, message, hint);
  }
}

/** Exit status of a set of checks: 2 where some were refused, else 1 where some are out or unsure, else 0. */
export function statusOfChecks(records: Iterable<Pick<CheckRecord, "status" | "verdict">>): 0 | 1 | 2 {
  let status: 0 | 1 | 2 = EXIT.allIn;
  for (const record of records) {
    if (record.status === "refused") return EXIT.someRefused;
    if (record.verdict !== "in") status = EXIT.someNotIn;
  }
  return status;
}

/** What to print for a thrown error, and the exit status. `verb` is named in the hint where the usage was wrong. */
export function explain(error: unknown, verb = ""): { text: string; status: number } {
  if (error instanceof CommanderError) {
    if (error.exitCode === 0) return { text: "", status: 0 };
    const [message, suggestion = ""] = error.message.replace(/^error: /, "").split("\n");
    const see = ["See kerfmark", verb, "--help."].filter(Boolean).join(" ");
    return { text: lines(sentence(message), suggestion.replace(/^\((.*)\)$/, "$1 ") + see), status: EXIT.usage };
  }
  if (error instanceof Fault) return { text: lines(error.message, error.hint, error.details), status: error.status };
  if (error instanceof Error && error.name === "AbortError") return { text: lines("Stopped.", ""), status: EXIT.stopped };
  const reason = error instanceof Error ? error.message : String(error);
  const trace = process.env.KERFMARK_TRACE && error instanceof Error ? [error.stack ?? ""] : [];
  const hint = "This is a fault of the program: please report it with the output of the same command under KERFMARK_TRACE=1.";
  return { text: lines(`Something went wrong inside Kerfmark: ${reason}`, hint, trace), status: EXIT.internal };
}

function lines(message: string, hint: string, details: readonly string[] = []): string {
  return [message, ...details.map((d) => `  ${d}`), ...(hint ? [hint] : [])].join("\n") + "\n";
}

function sentence(text: string): string {
  const capital = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(capital) ? capital : `${capital}.`;
}
