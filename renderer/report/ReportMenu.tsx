import { useState } from "react";
import { Button, Menu, MenuItem, MenuTrigger, Popover } from "react-aria-components";
import type { ReportFormat } from "../../electron/host/report/formats.ts";
import { Fault } from "../frame/Fault.tsx";
import { Labelled } from "../frame/Labelled.tsx";
import { useShop } from "../settings/useSettings.tsx";
import { type About, downloadReport } from "./download.ts";

const FORMATS: readonly ReportFormat[] = ["pdf", "html", "csv", "json"];

/** The report button: asks for the format, then keeps the file where the browser keeps files. */
export function ReportMenu({ about }: { about: About }) {
  const { words, language } = useShop();
  const [busy, setBusy] = useState(false);
  const [fault, setFault] = useState<Error | null>(null);
  const make = async (format: ReportFormat) => {
    setBusy(true);
    setFault(null);
    await downloadReport(about, format, language).catch(setFault);
    setBusy(false);
  };
  return (
    <>
      <MenuTrigger>
        <Button slot={null} className="button" isDisabled={busy}><Labelled icon="save" text={words.report.button} /></Button>
        <Popover className="menu" placement="bottom end">
          <Menu aria-label={words.report.button} onAction={(key) => void make(key as ReportFormat)}>
            {FORMATS.map((format) => <MenuItem key={format} id={format} className="menu-item">{words.report.formats[format]}</MenuItem>)}
          </Menu>
        </Popover>
      </MenuTrigger>
      {busy && <span role="status">{words.report.making}</span>}
      {fault && <Fault error={fault} />}
    </>
  );
}
