import { useCallback, useEffect, useState } from "react";

export type Asked<T> = { readonly kind: "loading" } | { readonly kind: "failed"; readonly error: Error; readonly again: () => void } | { readonly kind: "ready"; readonly value: T };

/** Asks the host when the component appears and whenever `ask` changes (it must be stable); `again` asks anew. */
export function useHost<T>(ask: () => Promise<T>): [Asked<T>, () => void] {
  const [state, setState] = useState<Asked<T>>({ kind: "loading" });
  const [turn, setTurn] = useState(0);
  const again = useCallback(() => setTurn((now) => now + 1), []);
  useEffect(() => {
    let current = true;
    ask().then(
      (value) => current && setState({ kind: "ready", value }),
      (error: Error) => current && setState({ kind: "failed", error, again }),
    );
    return () => {
      current = false;
    };
  }, [ask, turn, again]);
  return [state, again];
}
