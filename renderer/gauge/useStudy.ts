import { useCallback, useEffect, useRef, useState } from "react";
import type { InferResponseType } from "hono/client";
import type { Study } from "../../electron/host/app/routes/gaugeRoutes.ts";
import { client, HostFault, read } from "../frame/client.ts";
import { type Asked, useHost } from "../frame/useHost.ts";
import { orderOf } from "../../core/gauge/plan.ts";

type Loaded = InferResponseType<typeof client.api.gauge.$get, 200>;
type Answer = InferResponseType<typeof client.api.gauge.measure.$post, 200>;

export interface StudyView {
  readonly asked: Asked<Loaded>;
  readonly study: Study | null;
  /** The picture being measured now. */
  readonly measuring: string | null;
  readonly fault: Error | null;
  change(next: Study): void;
  /** Measures pictures one after the other and gives each to the next reading that is missing; stops at one that cannot be measured. */
  take(files: readonly File[]): Promise<void>;
}

/** The study in hand: read once, kept by the host at every change. */
export function useStudy(): StudyView {
  const [asked] = useHost(useCallback(() => read(client.api.gauge.$get()), []));
  const [study, setStudy] = useState<Study | null>(null);
  const [measuring, setMeasuring] = useState<string | null>(null);
  const [fault, setFault] = useState<Error | null>(null);
  const latest = useRef<Study | null>(null);

  useEffect(() => {
    if (asked.kind !== "ready") return;
    latest.current = asked.value.study;
    setStudy(asked.value.study);
  }, [asked]);

  const change = useCallback((next: Study) => {
    latest.current = next;
    setStudy(next);
    setFault(null);
    read(client.api.gauge.$put({ json: next })).catch(setFault);
  }, []);

  const take = useCallback(async (files: readonly File[]) => {
    try {
      for (const file of files) {
        setMeasuring(file.name);
        const answer = await read<Answer>(fetch(`/api/gauge/measure?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file }));
        if (!answer.ok) throw new HostFault(answer.code, `${file.name}: ${answer.message}`, answer.hint);
        const now = latest.current;
        const slot = now && orderOf(now).find((s) => !(s.key in now.readings));
        if (!now || !slot) break;
        change({ ...now, readings: { ...now.readings, [slot.key]: { image: file.name, values: answer.values } } });
      }
    } catch (error) {
      setFault(error as Error);
    } finally {
      setMeasuring(null);
    }
  }, [change]);

  return { asked, study, measuring, fault, change, take };
}
