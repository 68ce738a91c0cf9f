import { useState } from "react";
import { Button, FileTrigger } from "react-aria-components";
import type { Settings } from "../../electron/host/app/choices.ts";
import { client, read } from "../frame/client.ts";
import { Fault } from "../frame/Fault.tsx";
import { useShop } from "./useSettings.tsx";

/** The shop's logo for reports: shown as kept, chosen anew or removed. */
export function LogoField() {
  const { words, settings, took } = useShop();
  const w = words.settings;
  const [turn, setTurn] = useState(0);
  const [fault, setFault] = useState<Error | null>(null);
  const settle = (call: Promise<Settings>) => {
    setFault(null);
    call.then((now) => {
      took(now);
      setTurn((one) => one + 1);
    }, setFault);
  };
  return (
    <div className="choice">
      <span className="choice-label">{w.logo}</span>
      {settings.hasLogo ? <img className="logo" src={`/api/settings/logo?${turn}`} alt={w.logo} /> : <p className="note">{w.noLogo}</p>}
      {fault && <Fault error={fault} />}
      <div className="buttons">
        <FileTrigger acceptedFileTypes={["image/png", "image/jpeg"]} onSelect={(files) => files?.[0] && settle(read(fetch("/api/settings/logo", { method: "POST", body: files[0] })))}>
          <Button className="button">{w.chooseLogo}</Button>
        </FileTrigger>
        {settings.hasLogo && <Button className="button" onPress={() => settle(read(client.api.settings.logo.$delete()))}>{w.removeLogo}</Button>}
      </div>
    </div>
  );
}
