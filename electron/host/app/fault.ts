import type { Context } from "hono";
import { HTTPException } from "hono/http-exception";
import { LibraryFault } from "../library/faults.ts";

/** What the screens are told when a request cannot be met: what is wrong and what to do. `code` is for translations. */
export interface FaultBody {
  readonly fault: { readonly code: string; readonly message: string; readonly hint: string };
}

type FaultStatus = 400 | 404 | 409 | 413 | 422 | 500 | 503;

/** An expected failure with a sentence for people. */
export class AppFault extends Error {
  readonly status: FaultStatus;
  readonly code: string;
  readonly hint: string;

  constructor(status: FaultStatus, code: string, message: string, hint: string) {
    super(message);
    this.status = status;
    this.code = code;
    this.hint = hint;
  }
}

/** Answers every thrown error as a FaultBody. */
export function answerFault(error: Error, c: Context): Response {
  if (error instanceof HTTPException) return error.getResponse();
  const { status, body } = faultOf(error);
  return c.json(body, status);
}

/** What an error is answered with; what was not expected goes to standard error as well. */
export function faultOf(error: Error): { readonly status: FaultStatus; readonly body: FaultBody } {
  const answer = (status: FaultStatus, code: string, message: string, hint: string) => ({ status, body: { fault: { code, message, hint } } });
  if (error instanceof AppFault) return answer(error.status, error.code, error.message, error.hint);
  if (error instanceof LibraryFault) {
    const status = error.code === "not-found" ? 404 : error.code === "invalid" || error.code === "conflict" ? 422 : 503;
    return answer(status, error.code, error.message, error.hint);
  }
  if (error.name === "AbortError") return answer(409, "stopped", "Stopped.", "");
  console.error(error);
  return answer(500, "unexpected", `Something went wrong in the program: ${error.message}`, "Try again; if it happens again, report it.");
}
