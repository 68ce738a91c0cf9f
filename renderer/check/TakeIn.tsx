import { Button, FileTrigger } from "react-aria-components";
import { desk } from "../desk/useDesk.ts";
import { Icon } from "../frame/Icon.tsx";
import { phone } from "./phoneStore.ts";
import { useWords } from "../settings/useSettings.tsx";

/** What the file chooser offers; the host reads whatever it can. */
const PICTURES = ["image/*", ".tif", ".tiff", ".heic", ".avif"];

/** The buttons that take pictures in. */
export function TakeIn() {
  const words = useWords();
  return (
    <div className="buttons">
      <FileTrigger allowsMultiple acceptedFileTypes={PICTURES} onSelect={(files) => files && desk.add([...files])}>
        <Button className="main-button"><Icon name="plus" />{words.check.addPictures}</Button>
      </FileTrigger>
      <FileTrigger acceptDirectory onSelect={(files) => files && desk.add([...files].filter(isPicture))}>
        <Button className="button"><Icon name="folder" />{words.check.addFolder}</Button>
      </FileTrigger>
      <Button className="button" onPress={() => phone.show(true)}><Icon name="phone" />{words.phone.open}</Button>
    </div>
  );
}

function isPicture(file: File): boolean {
  return file.type.startsWith("image/") || /\.(tiff?|heic|avif)$/i.test(file.name);
}
