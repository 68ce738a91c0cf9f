import type { ReactNode } from "react";
import { Button, Disclosure, DisclosurePanel, Heading } from "react-aria-components";

/** A part of the panel that can be folded away. */
export function Section({ title, open = false, children }: { title: string; open?: boolean; children: ReactNode }) {
  return (
    <Disclosure className="section" defaultExpanded={open}>
      <Heading level={2}>
        <Button slot="trigger" className="section-title"><span className="section-arrow" aria-hidden="true" />{title}</Button>
      </Heading>
      <DisclosurePanel className="section-body">{children}</DisclosurePanel>
    </Disclosure>
  );
}
