import { Button, FileTrigger } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Icon } from "../frame/Icon.tsx";
import { useWords } from "../settings/useSettings.tsx";

/** Chooses a job file and opens it; faults in the file are shown by the desk's state. */
export function OpenJob({ main = false }: { main?: boolean }) {
  const words = useWords();
  const open = async (files: FileList | null) => {
    if (files?.[0]) await desk.openJob(await files[0].text());
  };
  return (
    <FileTrigger acceptedFileTypes={[".json", "application/json"]} onSelect={open}>
      <Button className={main ? "main-button" : "button"}><Icon name="open" /><span className="label">{words.check.openJob}</span></Button>
    </FileTrigger>
  );
}
