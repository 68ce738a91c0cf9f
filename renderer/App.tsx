import { Suspense } from "react";
import { Fallen } from "./frame/Fallen.tsx";
import { Frame } from "./frame/Frame.tsx";
import { useWhere } from "./frame/useHash.ts";
import { PLACES } from "./places.tsx";
import { useWords } from "./settings/useSettings.tsx";

/** The place the address names; an address that names none leads to the first. */
export function App() {
  const words = useWords();
  const { place } = useWhere();
  const { name, Page } = PLACES.find((one) => one.name === place) ?? PLACES[0];
  return (
    <Frame places={PLACES.map((one) => one.name)} here={name}>
      <Fallen key={name} again={words.common.tryAgain}>
        <Suspense fallback={<p className="quiet" role="status">{words.common.loading}</p>}>
          <Page />
        </Suspense>
      </Fallen>
    </Frame>
  );
}
