import { createClient } from "../../electron/host/app/client.ts";

/** The typed way to the host: whichever door this page came through. */
export const client = createClient(location.origin);

/** What a failed call says: the host's own sentence, or that the host cannot be reached. */
export class HostFault extends Error {
  readonly code: string;
  readonly hint: string;

  constructor(code: string, message: string, hint: string) {
    super(message);
    this.code = code;
    this.hint = hint;
  }
}

interface Answer<T> {
  readonly ok: boolean;
  json(): Promise<T>;
}

/** Unwraps an answer of the typed client; anything but success becomes a HostFault. */
export async function read<T>(call: Promise<Answer<T>>): Promise<T> {
  const answer = await call.catch((error: Error) => {
    if (error.name === "AbortError") throw error;
    throw new HostFault("offline", "", "");
  });
  const body: unknown = await answer.json().catch(() => null);
  if (answer.ok) return body as T;
  throw faultOf(body);
}

export function faultOf(body: unknown): HostFault {
  const fault = (body as { fault?: { code: string; message: string; hint: string } } | null)?.fault;
  return fault ? new HostFault(fault.code, fault.message, fault.hint) : new HostFault("unexpected", "", "");
}
