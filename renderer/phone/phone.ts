import type { CheckRecord } from "../../core/check/record.ts";
import type { PhoneAnswer } from "../../electron/host/door/phone.ts";
import type { FaultBody } from "../../electron/host/app/fault.ts";
import { figuresFor } from "../figures/figures.ts";
import { deciding } from "../sheet/deciding.ts";
import { judgedFigures } from "../sheet/judgedFigures.ts";
import { verdictKind } from "../sheet/verdictKind.ts";
import { chooseLanguage, loadWords, type Words } from "../words/words.ts";
import "./phone.css";

/** The phone's page: sends pictures one after the other and shows each verdict. Plain DOM, since a phone waits for every byte. */
const words = await loadWords(chooseLanguage("", navigator.languages));
document.documentElement.lang = words.tag;
document.title = words.phone.pageTitle;
const texts = { title: words.phone.pageTitle, how: words.phone.how, take: words.phone.take, pick: words.phone.pick };
for (const [id, text] of Object.entries(texts)) element(id).textContent = text;
element("plain").textContent = location.protocol === "https:" ? words.phone.encryptedText : words.phone.plainText;

let queue = Promise.resolve();
for (const id of ["camera", "files"]) {
  const input = element(id) as HTMLInputElement;
  input.addEventListener("change", () => {
    for (const file of input.files ?? []) {
      const line = addLine(file.name);
      queue = queue.then(() => send(file, line));
    }
    input.value = "";
  });
}

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`The page has no ${id}.`);
  return found;
}

interface Line {
  readonly item: HTMLLIElement;
  readonly progress: HTMLProgressElement;
  /** @param standing colours the line; the sign and the word carry the meaning */
  show(standing: keyof typeof SIGNS, word: string, text: string): void;
}

const SIGNS = { in: "✓ ", out: "✗ ", unsure: "? ", refused: "– ", waiting: "", measuring: "", failed: "! " } as const;

function addLine(name: string): Line {
  const item = document.createElement("li");
  const word = item.appendChild(document.createElement("strong"));
  const text = item.appendChild(document.createElement("span"));
  const file = item.appendChild(document.createElement("small"));
  const progress = item.appendChild(document.createElement("progress"));
  progress.setAttribute("aria-label", name);
  file.textContent = name;
  element("sent").prepend(item);
  const line: Line = {
    item, progress,
    show(standing, said, sentence) {
      item.dataset["standing"] = standing;
      word.textContent = SIGNS[standing] + said;
      text.textContent = sentence;
    },
  };
  line.show("waiting", words.verdict.waiting.word, "");
  return line;
}

/** Sends by XMLHttpRequest, which alone tells how far an upload has come. */
function send(file: File, line: Line): Promise<void> {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open("POST", `/picture?name=${encodeURIComponent(file.name.slice(-120))}`);
    request.responseType = "json";
    request.upload.addEventListener("progress", (event) => {
      line.progress.max = event.total;
      line.progress.value = event.loaded;
    });
    request.upload.addEventListener("load", () => {
      line.progress.removeAttribute("value");
      line.show("measuring", words.verdict.measuring.word, words.verdict.measuring.line);
    });
    request.addEventListener("loadend", () => {
      line.progress.remove();
      showAnswer(request.response as PhoneAnswer | FaultBody | null, line);
      resolve();
    });
    line.show("measuring", words.phone.sending, "");
    request.send(file);
  });
}

function showAnswer(answer: PhoneAnswer | FaultBody | null, line: Line): void {
  if (answer && "record" in answer) {
    const standing = answer.record.verdict ?? "refused";
    line.show(standing, words.verdict[standing].word, sentence(answer.record, answer.figures, words));
    return;
  }
  const said = answer?.fault ? (words.faults.byCode[answer.fault.code] ?? answer.fault) : { message: words.phone.lost, hint: "" };
  line.show("failed", words.verdict.failed.word, `${said.message} ${said.hint}`);
}

function sentence(record: CheckRecord, shop: PhoneAnswer["figures"], { refusals, values, verdict }: Words): string {
  if (record.status === "refused") return `${refusals[record.refusal.code].message} ${refusals[record.refusal.code].hint}`;
  const { what, value, U, limit } = deciding(record);
  const { name, unit, write } = judgedFigures(what, { values }, figuresFor(shop, words.tag));
  const figure = `${name} ${write(value)} ± ${write(U)} ${unit}`;
  const kind = verdictKind(record.verdict, record);
  // What is not to be guessed from the figure is said.
  const why = kind === record.verdict ? "" : `${verdict[kind].line} `;
  return `${figure}${limit === undefined ? "" : `, ${values.limitOf(write(limit))}`}. ${why}${verdict[kind].next}`;
}
