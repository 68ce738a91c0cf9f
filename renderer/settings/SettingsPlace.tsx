import { Input, Label, Radio, RadioGroup, TextField } from "react-aria-components";
import { type ReactNode, useCallback, useEffect, useState } from "react";
import type { Settings } from "../../electron/host/app/choices.ts";
import { client, read } from "../frame/client.ts";
import { useWhere } from "../frame/useHash.ts";
import { useHost } from "../frame/useHost.ts";
import { languages, loadWords } from "../words/words.ts";
import { LicencesPage } from "./LicencesPage.tsx";
import { LogoField } from "./LogoField.tsx";
import { useShop } from "./useSettings.tsx";

/** Settings: every choice at once in sight, kept as it is made; `#settings/licences` lists what the program is made of. */
export default function SettingsPlace() {
  const [page] = useWhere().rest;
  return page === "licences" ? <LicencesPage /> : <AllSettings />;
}

function AllSettings() {
  const { words, settings, change } = useShop();
  const w = words.settings;
  const names = useLanguageNames();
  return (
    <div className="page settings">
      <h1>{w.title}</h1>
      <p className="note">{w.saved}</p>
      <Group title={w.screens}>
        <Choice name="language" label={w.language} options={[["system", w.followSystem], ...names]} />
        <Choice name="theme" label={w.theme} options={[["system", w.followSystem], ["light", w.light], ["dark", w.dark], ["contrast", w.contrast]]} />
        <Choice name="textSize" label={w.textSize} options={[["normal", w.normal], ["large", w.large], ["larger", w.larger], ["largest", w.largest]]} />
      </Group>
      <Group title={w.figures}>
        <Choice name="units" label={w.units} options={[["mm", w.mm], ["inch", w.inch]]} note={w.unitsNote} />
        <Choice name="decimal" label={w.decimal} options={[["language", w.byLanguage], ["point", w.point], ["comma", w.comma]]} />
      </Group>
      <Group title={w.reports}>
        <TextField className="field" defaultValue={settings.shopName} onBlur={(event) => void change({ shopName: (event.target as HTMLInputElement).value })}>
          <Label>{w.shop}</Label>
          <Input maxLength={120} />
        </TextField>
        <LogoField />
        <Choice name="paper" label={w.paper} options={[["a4", w.a4], ["letter", w.letter]]} />
        <Choice name="csvSeparator" label={w.csv} options={[["comma", w.csvComma], ["semicolon", w.csvSemicolon], ["tab", w.csvTab]]} note={w.csvNote} />
      </Group>
      <Group title={w.about}><About /></Group>
    </div>
  );
}

function Group({ title, children }: { title: string; children: ReactNode }) {
  return <section className="settings-group"><h2>{title}</h2>{children}</section>;
}

function Choice({ name, label, options, note }: { name: keyof Settings; label: string; options: readonly (readonly [string, string])[]; note?: string }) {
  const { settings, change } = useShop();
  return (
    <RadioGroup className="choice" value={String(settings[name])} onChange={(value) => void change({ [name]: value })}>
      <Label>{label}</Label>
      <div className="choice-options">{options.map(([value, text]) => <Radio key={value} value={value} className="choice-option">{text}</Radio>)}</div>
      {note && <p className="note">{note}</p>}
    </RadioGroup>
  );
}

function About() {
  const { words } = useShop();
  const [asked] = useHost(useCallback(() => read(client.api.about.$get()), []));
  return (
    <>
      {asked.kind === "ready" && <p>{words.product}, {words.settings.version(asked.value.version)}</p>}
      <a className="back" href="#settings/licences">{words.settings.licences}</a>
    </>
  );
}

/** Each language by its own name. */
function useLanguageNames(): [string, string][] {
  const [names, setNames] = useState<[string, string][]>([]);
  useEffect(() => {
    void Promise.all(languages.map(async (tag): Promise<[string, string]> => [tag, (await loadWords(tag)).ownName])).then(setNames);
  }, []);
  return names;
}
