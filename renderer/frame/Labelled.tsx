import { Icon, type IconName } from "./Icon.tsx";

/** A button's icon and word. Where there is no room only the icon is seen (see check.css); the word stays its name, and its hint for a pointer. */
export function Labelled({ icon, text }: { icon: IconName; text: string }) {
  return <span className="labelled" title={text}><Icon name={icon} /><span className="label">{text}</span></span>;
}
