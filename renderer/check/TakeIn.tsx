import { Button, FileTrigger } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Icon } from "../frame/Icon.tsx";
import { Labelled } from "../frame/Labelled.tsx";
import { go } from "../frame/useHash.ts";
import { useWords } from "../settings/useSettings.tsx";

/** What the file chooser offers; the host reads whatever it can. */
const PICTURES = ["image/*", ".tif", ".tiff", ".heic", ".heif", ".avif"];

/** The buttons that take pictures in. */
export function TakeIn() {
  const words = useWords();
  return (
    <>
      <FileTrigger allowsMultiple acceptedFileTypes={PICTURES} onSelect={(files) => files && desk.add([...files])}>
        <Button className="main-button"><Icon name="plus" />{words.check.addPictures}</Button>
      </FileTrigger>
      <FileTrigger acceptDirectory onSelect={(files) => files && desk.add([...files].filter(isPicture))}>
        <Button className="button"><Labelled icon="folder" text={words.check.addFolder} /></Button>
      </FileTrigger>
      <Button className="button" onPress={() => go("check", "camera")}><Labelled icon="camera" text={words.check.useCamera} /></Button>
      <Button className="button" onPress={() => go("check", "phone")}><Labelled icon="phone" text={words.phone.open} /></Button>
    </>
  );
}

function isPicture(file: File): boolean {
  return file.type.startsWith("image/") || /\.(tiff?|hei[cf]|avif)$/i.test(file.name);
}
