import { useCallback } from "react";
import { read } from "../frame/client.ts";
import { useHost } from "../frame/useHost.ts";
import { Waiting } from "../frame/Waiting.tsx";
import { useWords } from "./useSettings.tsx";

/** One package as the build found it; see tools/licenceTexts.ts. */
interface Licence {
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  readonly text: string;
}

/** Every package that is shipped with the program, with its licence; the list is made by the build. */
export function LicencesPage() {
  const words = useWords();
  const [asked] = useHost(useCallback(() => read<readonly Licence[]>(fetch("/licences.json")), []));
  return (
    <div className="page">
      <a className="back" href="#settings">← {words.places.settings}</a>
      <h1>{words.settings.licences}</h1>
      {asked.kind === "ready" ? (
        <>
          <p className="note">{words.settings.packages(String(asked.value.length))}</p>
          <ul className="licences">
            {asked.value.map(({ name, version, licence, text }) => (
              <li key={`${name} ${version}`}>
                <details>
                  <summary><b>{name}</b> {version} <span className="licence-name">{licence}</span></summary>
                  <pre>{text || words.settings.noText}</pre>
                </details>
              </li>
            ))}
          </ul>
        </>
      ) : <Waiting asked={asked} />}
    </div>
  );
}
