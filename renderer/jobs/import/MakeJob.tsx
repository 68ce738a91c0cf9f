import { useState } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { Fault } from "../../frame/Fault.tsx";
import { go } from "../../frame/useHash.ts";
import { useWords } from "../../settings/useSettings.tsx";
import type { Work } from "../worker/work.ts";
import { Outcome } from "./Outcome.tsx";
import type { Drafting } from "./useDraft.ts";

/** What job the choices make, and the button that takes it into the shop's jobs. */
export function MakeJob({ drafting, notes, work }: { drafting: Drafting; notes: readonly string[]; work: Work }) {
  const w = useWords().jobs.import;
  const [fault, setFault] = useState<Error | null>(null);
  const make = async () => {
    if (drafting.kind !== "draft") return;
    try {
      const job = await work.ask("take", null);
      if (!job) return;
      const { id } = await read(client.api.jobs.$post({ json: job }));
      go("jobs", String(id));
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <section className="import-end" aria-label={w.makes}>
      <Outcome drafting={drafting} notes={notes} />
      {fault && <Fault error={fault} />}
      <Button className="main-button" isDisabled={drafting.kind !== "draft"} onPress={() => void make()}>{w.make}</Button>
    </section>
  );
}
