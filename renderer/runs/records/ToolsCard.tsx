import { useCallback } from "react";
import { Button } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useShop } from "../../settings/useSettings.tsx";
import { useUndo } from "../../frame/useUndo.tsx";

/** The blades and creasing tools of the shop with the metres they have cut; one that is gone can be taken off the list, and brought back. */
export function ToolsCard({ changed }: { changed(): void }) {
  const { words, figures } = useShop();
  const w = words.runs;
  const [tools, again] = useHost(useCallback(() => read(client.api.records.tools.$get()), []));
  const refresh = () => {
    again();
    changed();
  };
  const { offerDeletion, attempt, notice } = useUndo(refresh);
  const remove = (id: number, name: string) => attempt(async () => {
    offerDeletion(w.records.toolDeleted(name), await read(client.api.records.tools[":id"].$delete({ param: { id: String(id) } })));
    refresh();
  });
  const used = tools.kind === "ready" ? tools.value.filter((tool) => !tool.deleted) : [];
  return (
    <section className="card">
      <h2>{w.records.tools}</h2>
      <p className="note">{w.records.toolsHelp}</p>
      {notice}
      {tools.kind !== "ready" ? <Waiting asked={tools} /> : used.length === 0 ? <p className="note">{w.records.noTools}</p> : (
        <ul className="decisions">
          {used.map((tool) => (
            <li key={tool.id}>
              <span><b>{tool.name}</b>{tool.code !== tool.name && ` (${tool.code})`}: {w.events.toolKinds[tool.kind]}, {w.events.cut(figures.number(tool.metres, 0))}</span>
              <Button className="button" aria-label={`${w.events.delete}: ${tool.name}`} onPress={() => remove(tool.id, tool.name)}>{w.events.delete}</Button>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
