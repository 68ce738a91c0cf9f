import { useEffect, useState } from "react";
import { Button } from "react-aria-components";
import type { PhoneState } from "../../electron/host/app/phoneStation.ts";
import { Fault } from "../frame/Fault.tsx";
import { Intake } from "../frame/Intake.tsx";
import { useWords } from "../settings/useSettings.tsx";
import { phone, usePhone } from "./phoneStore.ts";

/** The switch of the phone door: what it means before, the code while it is open. */
export function PhonePanel({ onClose }: { onClose: () => void }) {
  const words = useWords();
  const { state, fault } = usePhone();
  useEffect(() => void phone.look(), []);
  return (
    <Intake icon="phone" title={words.phone.title} onClose={onClose}>
      {fault && <Fault error={fault} />}
      {state && (state.open ? <Open state={state} /> : <Closed addresses={state.addresses} />)}
    </Intake>
  );
}

function Closed({ addresses }: { addresses: readonly string[] }) {
  const words = useWords();
  const [address, setAddress] = useState(addresses[0]);
  return (
    <>
      <p>{words.phone.intro}</p>
      <p className="note">{words.phone.plainText}</p>
      {addresses.length === 0 && <p className="warnings" role="note">{words.phone.noNetwork}</p>}
      <div className="inline-form">
        {addresses.length > 1 && (
          <label className="field">
            {words.phone.address}
            <select value={address} onChange={(event) => setAddress(event.target.value)}>{addresses.map((one) => <option key={one}>{one}</option>)}</select>
          </label>
        )}
        <Button className="main-button" isDisabled={addresses.length === 0} onPress={() => phone.open(address)}>{words.phone.start}</Button>
      </div>
    </>
  );
}

function Open({ state }: { state: Extract<PhoneState, { open: true }> }) {
  const words = useWords();
  const { code } = state;
  return (
    <div className="phone-open">
      {code && <img className="phone-code" src={code.picture} alt={code.url} width="220" height="220" />}
      <div className="phone-text">
        {code ? (
          <>
            <p><strong>{words.phone.scan}</strong></p>
            <p className="note">{words.phone.orType} <code className="phone-url">{code.url}</code></p>
          </>
        ) : <p>{words.phone.spent}</p>}
        <p role="status">{words.phone.phones(String(state.phones))}, {words.phone.taken(String(state.taken))}</p>
        <p className="note">{state.encrypted ? words.phone.encryptedText : words.phone.plainText}</p>
        <div className="buttons">
          {!code && <Button className="button" onPress={() => phone.newCode()}>{words.phone.newCode}</Button>}
          <Button className="main-button" onPress={() => phone.close()}>{words.phone.stop}</Button>
        </div>
      </div>
    </div>
  );
}
