import { useCallback, useState } from "react";
import { Button, Input, Label, TextField } from "react-aria-components";
import { client, read } from "../../frame/client.ts";
import { Fault } from "../../frame/Fault.tsx";
import { useHost } from "../../frame/useHost.ts";
import { Waiting } from "../../frame/Waiting.tsx";
import { useWords } from "../../settings/useSettings.tsx";

/** A folder on this computer: chosen by the system's dialog or from a list, or its path typed. `name` is the form's field. */
export function FolderField({ name }: { name: string }) {
  const words = useWords();
  const w = words.runs.tray;
  const [folder, setFolder] = useState("");
  const [listed, setListed] = useState(false);
  const [fault, setFault] = useState<Error | null>(null);
  const choose = async () => {
    setFault(null);
    try {
      const { dialog } = await read(client.api.folders.$get({ query: {} }));
      if (!dialog) return setListed(!listed);
      const { folder: chosen } = await read(client.api.folders.choose.$post());
      if (chosen !== null) setFolder(chosen);
    } catch (error) {
      setFault(error as Error);
    }
  };
  return (
    <>
      <div className="folder-field">
        <TextField className="field wide" name={name} value={folder} onChange={setFolder} isRequired><Label>{w.folder}</Label><Input maxLength={1000} spellCheck="false" aria-describedby="folder-help" /></TextField>
        <Button className="button" aria-expanded={listed} onPress={choose}>{w.chooseFolder}</Button>
        <p id="folder-help" className="note">{w.folderHelp}</p>
      </div>
      {fault && <Fault error={fault} />}
      {listed && (
        <FolderList take={(path) => {
          setFolder(path);
          setListed(false);
        }} />
      )}
    </>
  );
}

/** The folders below the user's home, to walk through. */
function FolderList({ take }: { take(path: string): void }) {
  const words = useWords();
  const w = words.runs.tray;
  const [at, setAt] = useState<string | undefined>(undefined);
  const [asked] = useHost(useCallback(() => read(client.api.folders.$get({ query: { at } })), [at]));
  if (asked.kind !== "ready") return <Waiting asked={asked} />;
  const { at: here, up, folders } = asked.value;
  return (
    <section className="folder-list" aria-label={w.chooseFolder}>
      <p><code>{here}</code></p>
      <div className="buttons">
        <Button className="main-button" onPress={() => take(here)}>{w.takeFolder}</Button>
        {up !== null && <Button className="button" onPress={() => setAt(up)}>{w.folderUp}</Button>}
      </div>
      {folders.length === 0 ? <p className="note">{w.noFolders}</p> : (
        <ul>{folders.map((one) => <li key={one.path}><Button className="button" onPress={() => setAt(one.path)}>{one.name}</Button></li>)}</ul>
      )}
    </section>
  );
}
