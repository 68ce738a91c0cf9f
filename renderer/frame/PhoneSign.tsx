import { useWords } from "../settings/useSettings.tsx";
import { usePhone } from "../check/phoneStore.ts";
import { Icon } from "./Icon.tsx";

/** Seen in every place while the phone door is open; leads to its switch. */
export function PhoneSign() {
  const words = useWords();
  const { state } = usePhone();
  if (!state?.open) return null;
  return (
    <a className="rail-item phone-sign" href="#check/phone">
      <Icon name="phone" />
      <span>{words.phone.isOpen}</span>
    </a>
  );
}
