import { createRoot } from "react-dom/client";
import { App } from "./App.tsx";
import { client, read } from "./frame/client.ts";
import { phone } from "./check/phoneStore.ts";
import { desk } from "./desk/useDesk.ts";
import { listenToShell } from "./frame/shell.ts";
import { leaveStrayDrops } from "./frame/strayDrops.ts";
import { ShopProvider } from "./settings/useSettings.tsx";
import { DEFAULTS, type Settings } from "../electron/host/app/choices.ts";
import { chooseLanguage, loadWords } from "./words/words.ts";
import "./style/index.css";

/** Without the host the screens still open, with the defaults, and say what is wrong. */
const settings: Settings = await read(client.api.settings.$get()).catch(() => DEFAULTS);
const words = await loadWords(chooseLanguage(settings.language, navigator.languages));
void desk.load();
void phone.look();
listenToShell();
leaveStrayDrops();

createRoot(document.getElementById("root") as HTMLElement).render(
  <ShopProvider initial={settings} initialWords={words}>
    <App />
  </ShopProvider>,
);
