import { type ReactNode, useLayoutEffect, useRef } from "react";
import { useWords } from "../settings/useSettings.tsx";
import { Icon } from "./Icon.tsx";
import { PhoneSign } from "./PhoneSign.tsx";
import { type Place, useWhere } from "./useHash.ts";

/** The frame round every place: the rail with the places, and the place itself. */
export function Frame({ places, here, children }: { places: readonly Place[]; here: Place; children: ReactNode }) {
  const words = useWords();
  const main = useRef<HTMLElement>(null);
  const { rest: [page] } = useWhere();
  // Another page begins at its top; before the page's own effects, which may go to a part of it.
  useLayoutEffect(() => {
    main.current?.scrollTo(0, 0);
  }, [here, page]);
  return (
    <div className="frame">
      <button type="button" className="skip" onClick={() => main.current?.focus()}>{words.common.skip}</button>
      <nav className="rail" aria-label={words.places.places}>
        <span className="rail-product"><img src="/icon.svg" alt="" width="32" height="32" />{words.product}</span>
        {places.map((one) => (
          <a key={one} href={`#${one}`} className="rail-item" aria-current={one === here ? "page" : undefined}>
            <Icon name={one} />
            <span>{words.places[one]}</span>
          </a>
        ))}
        <PhoneSign />
      </nav>
      <main className="place" ref={main} tabIndex={-1}>{children}</main>
    </div>
  );
}
