/** The phone's page: three small files of its own, so that the phone door needs nothing of the screens. */

export const PHONE_HTML = `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <title>Kerfmark</title>
    <link rel="stylesheet" href="/phone.css" />
    <script type="module" src="/phone.js"></script>
  </head>
  <body>
    <main>
      <h1 id="title"></h1>
      <p id="how"></p>
      <label class="button" for="camera" id="take"></label>
      <input id="camera" type="file" accept="image/*" capture="environment" />
      <label class="button second" for="files" id="pick"></label>
      <input id="files" type="file" accept="image/*" multiple />
      <ol id="sent" aria-live="polite"></ol>
      <p id="plain" class="small"></p>
    </main>
  </body>
</html>
`;

export const PHONE_CSS = `body { font: 1.125rem/1.4 system-ui, sans-serif; margin: 0; }
main { max-width: 34rem; margin: auto; padding: 1rem; }
input { position: absolute; opacity: 0; width: 1px; height: 1px; }
.button { display: block; min-height: 3.5rem; line-height: 3.5rem; margin: 1rem 0; border-radius: 0.5rem; text-align: center; font-weight: 600; color: #fff; background: #0b4f8a; }
.button.second { color: inherit; background: none; box-shadow: inset 0 0 0 2px currentColor; }
input:focus-visible + *, .button:has(+ input:focus-visible) { outline: 3px solid; outline-offset: 3px; }
ol { list-style: none; padding: 0; }
li { display: grid; gap: 0.25rem; padding: 0.75rem; margin: 0.75rem 0; border: 2px solid; border-radius: 0.5rem; overflow-wrap: anywhere; }
li strong { font-size: 2.5rem; line-height: 1.1; }
progress { width: 100%; }
.small { font-size: 0.9rem; }
`;

/** Reads the answers of phone.ts: `{ verdict, message }`, or `{ fault }`. */
export const PHONE_JS = `const WORDS = {
  en: {
    title: "Send sheets to the desk", take: "Photograph a sheet", pick: "Pick pictures",
    how: "Keep clear of the running table. Lay the sheet flat, all its marks in the picture, straight from above, without a shadow of yours.",
    plain: "Pictures go straight to the desk in this shop. Over an address that begins with http: they are not encrypted: use the shop's own network.",
    sending: "Sending …", measuring: "Measuring …", lost: "The desk cannot be reached. Is this phone on the shop's network?",
    in: "\\u2713 in", out: "\\u2717 out", unsure: "? unsure", refused: "\\u2013 not measured",
  },
  de: {
    title: "Bogen an den Arbeitsplatz senden", take: "Bogen fotografieren", pick: "Bilder ausw\\u00e4hlen",
    how: "Abstand zum laufenden Tisch halten. Den Bogen flach hinlegen, alle Marken im Bild, senkrecht von oben, ohne eigenen Schatten.",
    plain: "Die Bilder gehen direkt an den Arbeitsplatz in diesem Betrieb. Bei einer Adresse mit http: sind sie nicht verschl\\u00fcsselt: nur das Netz des Betriebs benutzen.",
    sending: "Wird gesendet \\u2026", measuring: "Wird gemessen \\u2026", lost: "Der Arbeitsplatz ist nicht zu erreichen. Ist das Telefon im Netz des Betriebs?",
    in: "\\u2713 gut", out: "\\u2717 au\\u00dferhalb", unsure: "? unsicher", refused: "\\u2013 nicht gemessen",
  },
};
const language = navigator.language.startsWith("de") ? "de" : "en";
const words = WORDS[language];
document.documentElement.lang = language;
document.title = words.title;
for (const id of ["title", "how", "take", "pick", "plain"]) document.getElementById(id).textContent = words[id];

let queue = Promise.resolve();
for (const id of ["camera", "files"]) {
  const input = document.getElementById(id);
  input.addEventListener("change", () => {
    for (const file of input.files) {
      const line = addLine(file.name);
      queue = queue.then(() => send(file, line));
    }
    input.value = "";
  });
}

function addLine(name) {
  const line = document.createElement("li");
  const verdict = line.appendChild(document.createElement("strong"));
  const text = line.appendChild(document.createElement("span"));
  const progress = line.appendChild(document.createElement("progress"));
  progress.setAttribute("aria-label", name);
  text.textContent = name;
  document.getElementById("sent").prepend(line);
  return { verdict, progress, say: (sentence) => { text.textContent = name + ": " + sentence; } };
}

function send(file, line) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open("POST", "/picture?name=" + encodeURIComponent(file.name.slice(-120)));
    request.responseType = "json";
    request.upload.addEventListener("progress", (event) => { line.progress.max = event.total; line.progress.value = event.loaded; });
    request.upload.addEventListener("load", () => { line.progress.removeAttribute("value"); line.say(words.measuring); });
    request.addEventListener("loadend", () => {
      const answer = request.response;
      line.progress.remove();
      if (answer && "verdict" in answer) line.verdict.textContent = words[answer.verdict ?? "refused"];
      line.say(answer?.message ?? answer?.fault ?? words.lost);
      resolve();
    });
    line.say(words.sending);
    request.send(file);
  });
}
`;
