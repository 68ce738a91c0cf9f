import { ListBox, ListBoxItem } from "react-aria-components";
import { type Sheet, standing } from "../desk/sheet.ts";
import { desk } from "../desk/useDesk.ts";
import { VerdictShape } from "../frame/VerdictShape.tsx";
import { useWords } from "../settings/useSettings.tsx";

/** The pictures on the desk, each with its verdict's shape; arrow keys walk along, Delete takes one off. */
export function SheetStrip({ sheets, selected }: { sheets: readonly Sheet[]; selected: string | null }) {
  const words = useWords();
  return (
    <div className="strip-holder" onKeyDown={(event) => event.key === "Delete" && selected && void desk.takeOff(selected)}>
    <ListBox
      className="strip" aria-label={words.check.sheets} orientation="horizontal" layout="stack" selectionMode="single" selectionBehavior="replace"
      disallowEmptySelection selectedKeys={selected ? [selected] : []} items={sheets}
      onSelectionChange={(keys) => keys !== "all" && keys.size > 0 && desk.select(String([...keys][0]))}
    >
      {(sheet) => <StripItem key={sheet.key} sheet={sheet} />}
    </ListBox>
    </div>
  );
}

function StripItem({ sheet }: { sheet: Sheet }) {
  const words = useWords();
  const now = standing(sheet);
  const number = sheet.outcome?.record.sheet;
  const title = number ? words.check.sheet(number) : sheet.name;
  return (
    <ListBoxItem id={sheet.key} className="strip-item" textValue={`${title}, ${words.verdict[now].word}`}>
      {sheet.id ? <img className="strip-picture" src={`/api/pictures/${sheet.id}/reduced/160`} alt="" loading="lazy" /> : <span className="strip-picture" />}
      <span className="strip-label">
        <VerdictShape standing={now} />
        <span className="strip-name" title={sheet.name}>{title}</span>
        <span className="unseen">{words.verdict[now].word}</span>
      </span>
    </ListBoxItem>
  );
}
