import { type ReactNode, useDeferredValue, useState } from "react";
import { Button, Disclosure, DisclosurePanel, Heading } from "react-aria-components";

interface Props {
  readonly title: string;
  readonly open?: boolean;
  /** What it holds is made when it is first opened: for long tables. */
  readonly late?: boolean;
  readonly children: ReactNode;
}

/** A part of the panel that can be folded away. */
export function Section({ title, open = false, late = false, children }: Props) {
  const [opened, setOpened] = useState(open || !late);
  // It is seen to open before what it holds is made.
  const made = useDeferredValue(opened);
  return (
    <Disclosure className="section" defaultExpanded={open} onExpandedChange={() => setOpened(true)}>
      <Heading level={2}>
        <Button slot="trigger" className="section-title"><span className="section-arrow" aria-hidden="true" />{title}</Button>
      </Heading>
      <DisclosurePanel className="section-body">{made && children}</DisclosurePanel>
    </Disclosure>
  );
}
