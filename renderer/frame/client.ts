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

/**
 * Unwraps an answer of the typed client; anything but success becomes a HostFault. A connection may break, or the caller give up, while the answer is on its way too.
 *
 * @throws HostFault; what the caller has stopped rejects with its AbortError.
 */
export async function read<T>(call: Promise<Answer<T>>): Promise<T> {
  const broken = (error: Error): never => {
    throw error.name === "AbortError" ? error : new HostFault("offline", "", "");
  };
  const answer = await call.catch(broken);
  if (answer.ok) return answer.json().catch(broken);
  throw faultOf(await answer.json().catch(() => null));
}

/** The fault that a failed answer's body tells; one without a sentence where it tells none. */
export function faultOf(body: unknown): HostFault {
  const fault = (body as { fault?: { code: string; message: string; hint: string } } | null)?.fault;
  return fault ? new HostFault(fault.code, fault.message, fault.hint) : new HostFault("unexpected", "", "");
}
