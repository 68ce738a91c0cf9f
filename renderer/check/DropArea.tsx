import type { ReactNode } from "react";
import { DropZone, isFileDropItem } from "react-aria-components";
import { useWords } from "../settings/useSettings.tsx";
import { takeFiles } from "./takeFiles.ts";

/** Pictures, or a job file, may be dropped anywhere on it; choosing files is the way without dragging. */
export function DropArea({ className, children }: { className: string; children: ReactNode }) {
  const words = useWords();
  return (
    <DropZone
      className={`drop ${className}`} aria-label={words.check.dropTitle}
      getDropOperation={() => "copy"}
      onDrop={async (event) => takeFiles(await Promise.all(event.items.filter(isFileDropItem).map((item) => item.getFile())))}
    >
      {({ isDropTarget }) => (
        <>
          {children}
          {isDropTarget && <div className="drop-veil">{words.check.dropHere}</div>}
        </>
      )}
    </DropZone>
  );
}
