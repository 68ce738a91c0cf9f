import { Button, FileTrigger } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Labelled } from "../frame/Labelled.tsx";
import { useWords } from "../settings/useSettings.tsx";

/** Chooses a job file and opens it; faults in the file are shown by the desk's state. */
export function OpenJob({ main = false, opened }: { main?: boolean; opened?: () => unknown }) {
  const words = useWords();
  const open = async (files: FileList | null) => {
    if (!files?.[0]) return;
    await desk.openJob(await files[0].text());
    if (desk.view.job) await opened?.();
  };
  return (
    <FileTrigger acceptedFileTypes={[".json", "application/json"]} onSelect={open}>
      <Button className={main ? "main-button" : "button"}><Labelled icon="open" text={words.check.openJob} /></Button>
    </FileTrigger>
  );
}
