import { useCallback } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useWhere } from "../../frame/useHash.ts";
import { useHost } from "../../frame/useHost.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Section } from "../../sheet/Section.tsx";
import type { Event, Overview } from "../runData.ts";
import { useUndo } from "../../frame/useUndo.tsx";
import { eventText } from "./eventText.ts";
import { EventForm } from "./EventForm.tsx";

/** What happened in a run, and entering it; the tools in use with the metres they have cut. */
export function EventsPanel({ overview, changed }: { overview: Overview; changed(): void }) {
  const { words, figures } = useShop();
  const w = words.runs.events;
  const { rest } = useWhere();
  const { offerDeletion, attempt, notice } = useUndo(changed);
  const [tools] = useHost(useCallback(() => read(client.api.records.tools.$get()), []));
  const names = new Map(tools.kind === "ready" ? tools.value.map((t) => [t.id, t.name]) : []);
  const { run, events, tools: uses } = overview;
  const remove = (event: Event) => attempt(async () => {
    offerDeletion(w.deleted, await read(client.api.runs[":id"].events[":event"].$delete({ param: { id: String(run.id), event: String(event.id) } })));
    changed();
  });
  return (
    <>
      {notice}
      <EventForm overview={overview} kind={rest[2] === "correction" ? "correction" : "tool-changed"} changed={changed} />
      <section className="card">
        <h2>{w.title}</h2>
        {events.length === 0 ? <p className="note">{w.none}</p> : (
          <div className="scroll">
            <table className="figures full">
              <caption className="unseen">{w.title}</caption>
              <thead><tr><th scope="col">{w.before}</th><th scope="col" className="text">{w.kind}</th><th scope="col" className="text">{w.note}</th><th scope="col" className="text">{w.who}</th><th scope="col"><span className="unseen">{w.delete}</span></th></tr></thead>
              <tbody>
                {events.map((event) => (
                  <tr key={event.id}>
                    <th scope="row">{event.sheetNumber ?? new Date(event.happenedAt).toLocaleString(words.locale)}</th>
                    <td className="text">{w.kinds[event.kind]}{eventText(event, words, figures, names)}</td><td className="text">{event.note}</td><td className="text">{event.who}</td>
                    <td><Button className="button" onPress={() => remove(event)}>{w.delete}</Button></td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        )}
      </section>
      {uses.length > 0 && (
        <Section title={w.known} open>
          <ul>
            {uses.map((use) => <li key={`${use.toolId} ${use.from}`}><b>{names.get(use.toolId) ?? use.toolId}</b>: {w.since(String(use.from), String(use.to), figures.number(use.metres, 0))}</li>)}
            {tools.kind === "ready" && tools.value.filter((t) => uses.some((u) => u.toolId === t.id)).map((t) => <li key={t.id}><b>{t.name}</b> ({t.code}): {w.cut(figures.number(t.metres, 0))}</li>)}
          </ul>
        </Section>
      )}
    </>
  );
}
