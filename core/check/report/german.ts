import type { Refusal } from "../record.ts";
import { translatedName, type Patterns, type Sentences } from "./translate.ts";

/**
 * What a check writes, in German. Records stay as they are, in English; screens and reports put them into the reader's language when they show them.
 */

/** Refusals by their code: what is wrong, and what to do. */
export const GERMAN_REFUSALS = {
  "image-unreadable": { message: "Die Datei ist als Bild nicht lesbar.", hint: "Als JPEG, PNG oder TIFF speichern oder neu aufnehmen." },
  "image-too-large": { message: "Das Bild hat zu viele Pixel.", hint: "Mit geringerer Auflösung scannen." },
  "too-blurred": { message: "Das Bild ist zu unscharf.", hint: "Ruhig halten, Linse abwischen, scharfstellen lassen oder mehr Licht nehmen." },
  "marks-not-found": { message: "Die gedruckten Marken dieses Auftrags sind nicht im Bild.", hint: "Den ganzen Bogen gleichmäßig beleuchtet zeigen und prüfen, ob der richtige Auftrag offen ist." },
  "marks-ambiguous": { message: "Die Marken passen auf mehr als eine Weise.", hint: "Mehr Marken zeigen oder den Auftrag mit seinem Code drucken." },
  "wrong-job": { message: "Der Code auf dem Bogen nennt einen anderen Auftrag.", hint: "Den Auftrag öffnen, der auf dem Bogen steht." },
  "cuts-not-found": { message: "Die Marken sind da, aber der Schnitt ist nicht zu sehen.", hint: "In anderem Licht aufnehmen und prüfen, ob der Bogen mit diesem Auftrag geschnitten ist." },
  "resolution-too-low": { message: "Das Bild zeigt den Bogen zu klein.", hint: "Näher herangehen oder mit höherer Auflösung scannen." },
} satisfies Record<Refusal["code"], { readonly message: string; readonly hint: string }>;

/** Warnings, sources of uncertainty and reasons, by what they look like; `$1` is what varies. */
export const GERMAN_SENTENCES: Sentences = [
  [/^The picture was taken with (.+) and the profile is for (.+), so the profile "(.+)" is not used\.$/, "Das Bild stammt von $1, das Profil gilt für $2; das Profil „$3“ wird nicht verwendet."],
  [/^The picture was taken through another lens \((.+) instead of (.+)\), so the profile "(.+)" is not used\.$/, "Das Bild wurde durch ein anderes Objektiv aufgenommen ($1 statt $2); das Profil „$3“ wird nicht verwendet."],
  [/^The picture was zoomed: its focal length is ([\d.]+) mm and the profile is for ([\d.]+) mm, so the profile "(.+)" is not used\.$/, "Das Bild wurde gezoomt: seine Brennweite ist $1 mm, das Profil gilt für $2 mm; das Profil „$3“ wird nicht verwendet."],
  [/^The picture was zoomed or cropped by the camera: it equals ([\d.]+) mm on film and the profile is for ([\d.]+) mm, so the profile "(.+)" is not used\.$/, "Die Kamera hat das Bild gezoomt oder beschnitten: es entspricht $1 mm Kleinbild, das Profil gilt für $2 mm; das Profil „$3“ wird nicht verwendet."],
  [/^The picture is (\d+) x (\d+) pixels and the profile "(.+)" is for (\d+) x (\d+): it was cropped .*$/, "Das Bild hat $1 × $2 Pixel, das Profil „$3“ gilt für $4 × $5: es wurde beschnitten oder in anderem Format aufgenommen; das Profil wird nicht verwendet."],
  [/^The picture is (\d+) x (\d+) pixels, the profile "(.+)" is for (\d+) x (\d+): it is taken .*$/, "Das Bild hat $1 × $2 Pixel, das Profil „$3“ gilt für $4 × $5: es wird für eine kleinere oder größere Kopie des ganzen Bildes gehalten. Bilder so verwenden, wie die Kamera sie sichert."],
  [/^The scan is (\d+) x (\d+) pixels and the profile "(.+)" is for (\d+) x (\d+): .*$/, "Der Scan hat $1 × $2 Pixel, das Profil „$3“ gilt für $4 × $5: die ganze Auflage mit der Auflösung des Profils scannen; das Profil wird nicht verwendet."],
  [/^The picture does not say which camera took it; the profile "(.+)" is used because its size fits\.$/, "Das Bild nennt seine Kamera nicht; das Profil „$1“ wird verwendet, weil die Größe passt."],
  [/^The picture stands upright and the profile "(.+)" lies; .*$/, "Das Bild steht hochkant, das Profil „$1“ liegt, und das Bild sagt nicht, wie es gedreht wurde. Angenommen wird eine Vierteldrehung nach rechts: liegt das Objektiv außermittig, Bilder so verwenden, wie die Kamera sie sichert."],
  [/^"(.+)" was not found\.$/, "„$1“ wurde nicht gefunden."],
  [/^"(.+)" was not found: without it .*$/, "„$1“ wurde nicht gefunden: ohne ihn ist der Bogen bestenfalls unsicher. Am Bogen nachsehen."],
  [/^Not found were (.+): without them .*$/, (list) => `Nicht gefunden wurden ${listed(list)}: ohne sie ist der Bogen bestenfalls unsicher. Am Bogen nachsehen.`],
  [/^Only (\d+) % of "(.+)" was found: without the rest .*$/, "Nur $1 % von „$2“ wurden gefunden: ohne den Rest ist der Bogen bestenfalls unsicher. Am Bogen nachsehen."],
  [/^Only parts were found of (.+): without the rest .*$/, (list) => `Nur teilweise gefunden wurden ${listed(list)}: ohne den Rest ist der Bogen bestenfalls unsicher. Am Bogen nachsehen.`],
  [/^"(.+)" was not found and is not judged: .*$/, "„$1“ wurde nicht gefunden und nicht beurteilt: am Bogen nachsehen."],
  [/^Not found and not judged were (.+): look at them .*$/, (list) => `Nicht gefunden und nicht beurteilt wurden ${listed(list)}: am Bogen nachsehen.`],
  [/^Only (\d+) % of "(.+)" was found: the rest is not judged\.$/, "Nur $1 % von „$2“ wurden gefunden: der Rest ist nicht beurteilt."],
  [/^Only (\d+) % of "(.+)" was found\.$/, "Nur $1 % von „$2“ wurden gefunden."],
  [/^Only parts were found of (.+): the rest is not judged\.$/, (list) => `Nur teilweise gefunden wurden ${listed(list)}: der Rest ist nicht beurteilt.`],
  [/^Of "(.+)" (\d+) mm in one piece were not seen, near x (-?\d+), y (-?\d+) mm, and the knife .*$/, "Von „$1“ waren $2 mm am Stück nicht zu sehen, bei x $3, y $4 mm, und das Messer kann dort seinen Weg verlassen haben: der Bogen ist bestenfalls unsicher. Dort nachsehen."],
  [/^Parts were not seen, where the knife may have left its path, of (.+): the sheet .*$/, (list) => `Teile, an denen das Messer seinen Weg verlassen haben kann, waren nicht zu sehen von ${listed(list)}: der Bogen ist bestenfalls unsicher. Dort nachsehen.`],
  [/^Of "(.+)" (\d+) mm in one piece were not seen, near x (-?\d+), y (-?\d+) mm: .*$/, "Von „$1“ waren $2 mm am Stück nicht zu sehen, bei x $3, y $4 mm: die schlechteste Stelle kann dort liegen. Dort nachsehen."],
  [/^Long parts were not seen of (.+): the worst place .*$/, (list) => `Längere Teile waren nicht zu sehen von ${listed(list)}: die schlechteste Stelle kann dort liegen. Dort nachsehen.`],
  [/^"(.+)" lies off from what the other cuts agree on: .*$/, "„$1“ liegt anders als die übrigen Schnitte: das Stück kann beim Schneiden gewandert sein."],
  [/^Off from what the other cuts agree on lie (.+): they may .*$/, (list) => `Anders als die übrigen Schnitte liegen ${listed(list)}: die Stücke können beim Schneiden gewandert sein.`],
  [/^The sheet's number was not read from its code: .*$/, "Die Nummer des Bogens war an seinem Code nicht zu lesen: den Code größer und schärfer zeigen oder dem Bogen seine Nummer in der Auflage geben."],
  [/^Mark "(.+)" does not fit the others and was left out: .*$/, "Marke „$1“ passt nicht zu den anderen und blieb außer Acht: prüfen, ob sie verschmiert oder falsch gedruckt ist."],
  [/^Marks and cuts cannot tell the lens of this picture well: .*$/, "Marken und Schnitte lassen das Objektiv dieses Bildes kaum erkennen: die Unsicherheit ist deshalb größer. Ein Kameraprofil oder mehr Marken würden helfen."],
  [/^The marks do not fit a board that lies flat or is bent evenly: .*$/, "Die Marken passen nicht zu einem Bogen, der eben liegt oder gleichmäßig gebogen ist: er scheint wellig zu sein. Die Unsicherheit ist deshalb größer; den Bogen andrücken oder von weiter oben aufnehmen."],
  [/^The picture shows the sheet at only ([\d.]+) pixels per mm\.$/, "Das Bild zeigt den Bogen mit nur $1 Pixel je mm."],
  [/^marks and cuts, as the pixels scatter \(joint fit\)$/, "Marken und Schnitte, wie die Pixel streuen"],
  [/^lip and light on the cut's edge$/, "Grat und Licht an der Schnittkante"],
  [/^artwork and blade along whole sides$/, "Druckbild und Klinge entlang ganzer Seiten"],
  [/^slit seen askew$/, "Schlitz schräg gesehen"],
  [/^lens profile$/, "Objektivprofil"],
  [/^board not flat$/, "Bogen nicht eben"],
  [/^board's wall seen beside its face$/, "Kartonkante neben der Fläche gesehen"],
  [/^print of the marks$/, "Druck der Marken"],
  [/^It lies outside the picture\.$/, "Er liegt außerhalb des Bildes."],
  [/^It lies too near the picture's edge, or is shown too small\.$/, "Er liegt zu nah am Bildrand oder ist zu klein zu sehen."],
  [/^No ring with a hole in it is seen there\.$/, "Dort ist kein Ring mit Loch zu sehen."],
  [/^The slug is still in its hole, or what lies behind is as bright as the board\.$/, "Das Loch ist noch nicht ausgebrochen, oder dahinter ist es so hell wie der Karton."],
  [/^Its hole has another size or place\.$/, "Sein Loch hat eine andere Größe oder Lage."],
  [/^The picture is not shown: .*$/, "Das Bild fehlt hier, weil seine Datei nicht mehr lesbar ist."],
];

/** Names that the import gives to cuts. */
export const GERMAN_NAMES: Patterns = [
  [/^piece(?= ([A-Z]{1,2} )?\d)/, "Stück"], [/, outer edge$/, ", Außenkante"], [/(^|, )hole (\d+)$/, "$1Loch $2"], [/(^|, )crease (\d+)$/, "$1Rillung $2"], [/(^|, )cut (\d+)$/, "$1Schnitt $2"],
];

/** A list of quoted names, each with what is said of it, in German. */
function listed(list: string): string {
  const names = list.replace(/"(.+?)"(?=[ ,]|$)/g, (_, name: string) => `„${translatedName(name, GERMAN_NAMES)}“`);
  return names.replace(/ mm at x /g, " mm bei x ").replace(/ and (\d+) more$/, " und $1 weitere");
}
