import { BOXES, type BoxName } from "../../../core/job/import/read.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { Choice } from "../form/Choice.tsx";
import { GivenLength } from "../form/LengthBox.tsx";
import { NumberBox } from "../form/NumberBox.tsx";
import type { DrawingView } from "../worker/protocol.ts";
import type { Choices } from "./choices.ts";
import type { Import } from "./useImport.ts";

/** Which page and which of its boxes is the sheet; for drawings without a page, how large it is and where the drawing lies on it. */
export function SheetChoices({ view, choices, change, state }: { view: DrawingView; choices: Choices; change: (part: Partial<Choices>) => void; state: Import }) {
  const { words } = useShop();
  const w = words.jobs.import;
  const { sheet, shift } = choices;
  const isPdf = Object.keys(view.boxes).length > 0;
  const boxes = BOXES.filter((name) => name === "media" || name in view.boxes);
  return (
    <>
      {view.pages > 1 && (
        <NumberBox label={w.page} value={view.pageNumber} decimals={0} text={w.pageOf(String(view.pageNumber), String(view.pages))}
          onChange={(page) => page !== undefined && Number.isInteger(page) && page >= 1 && page <= view.pages && state.readAs({ page })} />
      )}
      {isPdf && boxes.length > 1 && <Choice<BoxName> label={w.box} value={state.how.box} onChange={(box) => state.readAs({ box })} options={boxes.map((name) => [name, w.boxes[name]] as const)} />}
      {!view.page && <p className="note">{w.sheetText}</p>}
      <div className="fields two">
        <GivenLength label={w.sheetWidth} value={sheet.width} onChange={(width) => change({ sheet: { ...sheet, width } })} />
        <GivenLength label={w.sheetHeight} value={sheet.height} onChange={(height) => change({ sheet: { ...sheet, height } })} />
      </div>
      <fieldset className="fields two">
        <legend>{w.shift}</legend>
        <GivenLength label={w.shiftX} range="any" value={shift.x} onChange={(x) => change({ shift: { ...shift, x } })} />
        <GivenLength label={w.shiftY} range="any" value={shift.y} onChange={(y) => change({ shift: { ...shift, y } })} />
      </fieldset>
    </>
  );
}
