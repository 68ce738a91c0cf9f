import { useSyncExternalStore } from "react";
import type { PhoneState } from "../../electron/host/app/phoneStation.ts";
import { desk } from "../desk/useDesk.ts";
import { client, read } from "../frame/client.ts";

export interface PhoneView {
  readonly state: PhoneState | null;
  readonly fault: Error | null;
}

/** How often the host is asked while the door is open, ms; while it is closed nobody asks. */
const LOOK_MS = 1_000;

const listeners = new Set<() => void>();
let view: PhoneView = { state: null, fault: null };
let timer: ReturnType<typeof setTimeout> | undefined;

function set(part: Partial<PhoneView>): void {
  view = { ...view, ...part };
  for (const listener of listeners) listener();
}

async function ask(call: Promise<PhoneState>): Promise<void> {
  clearTimeout(timer);
  try {
    const before = view.state?.open ? view.state.taken : 0;
    const state = await call;
    set({ state, fault: null });
    if (state.open && (state.taken !== before || desk.isAwaited())) await desk.refresh("phone");
  } catch (error) {
    set({ fault: error as Error });
  }
  if (view.state?.open) timer = setTimeout(() => void phone.look(), LOOK_MS);
}

/** The phone door from the screens' side: its switch, and the sign that it is open. */
export const phone = {
  look: () => ask(read(client.api.phone.$get())),
  open: (address: string | undefined) => ask(read(client.api.phone.open.$post({ json: { address } }))),
  newCode: () => ask(read(client.api.phone.code.$post())),
  close: () => ask(read(client.api.phone.close.$post())),
};

/** The phone door's state, drawn anew when it changes. */
export function usePhone(): PhoneView {
  return useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, () => view);
}
