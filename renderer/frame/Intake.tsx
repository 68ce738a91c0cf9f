import type { ReactNode } from "react";
import { Button } from "react-aria-components";
import { useWords } from "../settings/useSettings.tsx";
import { Icon, type IconName } from "./Icon.tsx";

interface Props {
  readonly icon: IconName;
  readonly title: string;
  /** Classes beside its own. */
  readonly className?: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}

/** A panel by which pictures come in, with its name and a way to close it. */
export function Intake({ icon, title, className = "", onClose, children }: Props) {
  const words = useWords();
  return (
    <section className={`intake ${className}`} aria-label={title}>
      <div className="intake-head">
        <h2><Icon name={icon} />{title}</h2>
        <Button className="square" aria-label={words.common.close} onPress={onClose}><Icon name="close" /></Button>
      </div>
      {children}
    </section>
  );
}
