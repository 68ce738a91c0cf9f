import { Button } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import type { DeskView } from "../desk/deskStore.ts";
import { Icon } from "../frame/Icon.tsx";
import { useWords } from "../settings/useSettings.tsx";

/** A passing word about what just happened, with its undo. */
export function Notice({ notice }: { notice: DeskView["notice"] }) {
  const words = useWords();
  if (!notice) return null;
  return (
    <div className="notice" role="status">
      <span>{notice.text(words.check)}</span>
      {notice.undo && <Button className="button" onPress={notice.undo}><Icon name="undo" />{words.common.undo}</Button>}
      <Button className="square" aria-label={words.common.close} onPress={() => desk.clearNotice()}><Icon name="close" /></Button>
    </div>
  );
}
