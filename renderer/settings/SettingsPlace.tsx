import { Input, Label, Radio, RadioGroup, TextField } from "react-aria-components";
import { useEffect, useState } from "react";
import type { Settings } from "../../electron/host/app/choices.ts";
import { languages, loadWords } from "../words/words.ts";
import { useShop } from "./useSettings.tsx";

/** Settings: every choice at once in sight, kept as it is made. */
export default function SettingsPlace() {
  const { words, settings, change } = useShop();
  const w = words.settings;
  const names = useLanguageNames();
  return (
    <div className="page settings">
      <h1>{w.title}</h1>
      <p className="note">{w.saved}</p>
      <Choice name="language" label={w.language} options={[["system", w.followSystem], ...names]} />
      <Choice name="units" label={w.units} options={[["mm", w.mm], ["inch", w.inch]]} />
      <Choice name="decimal" label={w.decimal} options={[["language", w.byLanguage], ["point", w.point], ["comma", w.comma]]} />
      <Choice name="theme" label={w.theme} options={[["system", w.followSystem], ["light", w.light], ["dark", w.dark], ["contrast", w.contrast]]} />
      <Choice name="textSize" label={w.textSize} options={[["normal", w.normal], ["large", w.large], ["larger", w.larger], ["largest", w.largest]]} />
      <Choice name="csvSeparator" label={w.csv} options={[["comma", w.csvComma], ["semicolon", w.csvSemicolon], ["tab", w.csvTab]]} />
      <TextField className="field" defaultValue={settings.shopName} onBlur={(event) => void change({ shopName: (event.target as HTMLInputElement).value })}>
        <Label>{w.shop}</Label>
        <Input maxLength={120} />
      </TextField>
    </div>
  );
}

function Choice({ name, label, options }: { name: keyof Settings; label: string; options: readonly (readonly [string, string])[] }) {
  const { settings, change } = useShop();
  return (
    <RadioGroup className="choice" value={String(settings[name])} onChange={(value) => void change({ [name]: value })}>
      <Label>{label}</Label>
      <div className="choice-options">{options.map(([value, text]) => <Radio key={value} value={value} className="choice-option">{text}</Radio>)}</div>
    </RadioGroup>
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
