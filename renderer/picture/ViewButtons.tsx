import { Button, Toolbar } from "react-aria-components";
import { Icon } from "../frame/Icon.tsx";
import { useWords } from "../settings/useSettings.tsx";
import type { GestureActions } from "./useGestures.ts";

/** Zooming and finding one's way without a mouse. */
export function ViewButtons({ actions, hasWorst }: { actions: GestureActions; hasWorst: boolean }) {
  const words = useWords().view;
  return (
    <Toolbar className="view-buttons" orientation="vertical" aria-label={words.buttons}>
      <Button className="square" aria-label={words.zoomIn} onPress={() => actions.zoomMiddle(1.5)}><Icon name="plus" /></Button>
      <Button className="square" aria-label={words.zoomOut} onPress={() => actions.zoomMiddle(1 / 1.5)}><Icon name="minus" /></Button>
      <Button className="square" aria-label={words.fit} onPress={actions.fit}><Icon name="whole" /></Button>
      {hasWorst && <Button className="square" aria-label={words.worst} onPress={actions.worst}><Icon name="worst" /></Button>}
    </Toolbar>
  );
}
