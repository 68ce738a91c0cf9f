const CORNERS = [["upper left", "links oben"], ["upper right", "rechts oben"], ["lower right", "rechts unten"], ["lower left", "links unten"]] as const;

/** The corners that no picture covers: some of four, always in the same order. */
const CORNERS_MISSED = Array.from({ length: 15 }, (_, i) => CORNERS.filter((_corner, k) => ((i + 1) >> k) & 1)).map((missed): readonly [RegExp, string] => [
  new RegExp(`^No picture has the target near the ${missed.map(([en]) => en).join(", ")} corners?: .*$`),
  `Kein Bild hat die Vorlage in der Nähe ${missed.length > 1 ? "dieser Ecken" : "dieser Ecke"}: ${missed.map(([, de]) => de).join(", ")}. Dort ist das Objektiv nur geraten. Bilder nehmen, in denen die Vorlage in jede Ecke reicht.`,
]);

/** What core/camera says of pictures, sets of pictures and profiles, in German. */
export default [
  [/^There is one usable picture; take at least (\d+), ten are better\.$/, "Nur ein Bild ist brauchbar; mindestens $1 nehmen, zehn sind besser."],
  [/^There are only (\d+) usable pictures; take at least (\d+), ten are better\.$/, "Nur $1 Bilder sind brauchbar; mindestens $2 nehmen, zehn sind besser."],
  [/^(\d+) of (\d+) pictures are tilted by (\d+) degrees or more, to (\d+) sides?: .*$/, "$1 von $2 Bildern sind um $3 Grad oder mehr gekippt, nach $4 Seiten: einige von links, rechts, oben und unten nehmen, um etwa 30 Grad."],
  ...CORNERS_MISSED,
  [/^The pictures were taken at focal lengths from ([\d.]+) to ([\d.]+) mm: do not zoom between them\.$/, "Die Bilder haben Brennweiten von $1 bis $2 mm: dazwischen nicht zoomen."],
  [/^The focus moved between the pictures: in (.+) the focal length is ([\d.]+) % longer .*$/, "Der Fokus wanderte zwischen den Bildern: in $1 ist die Brennweite $2 % länger als im Satz. Fokus feststellen und die Bilder neu machen."],
  [/^The focus moved between the pictures: in (.+) the focal length is ([\d.]+) % shorter .*$/, "Der Fokus wanderte zwischen den Bildern: in $1 ist die Brennweite $2 % kürzer als im Satz. Fokus feststellen und die Bilder neu machen."],
  [/^The points lie ([\d.]+) px off on average: .*$/, "Die Punkte liegen im Mittel $1 px daneben: die Vorlage ist nicht eben, die Bilder sind unscharf, oder die Vorlage ist eine andere als die gedruckte."],
  [/^(.+) fits ([\d.]+) times worse than the others \(([\d.]+) px\): .*$/, "$1 passt $2-mal schlechter als die anderen ($3 px): weglassen oder neu aufnehmen."],
  [/^In the picture's corners the lens is uncertain by ([\d.]+) px: .*$/, "In den Bildecken ist das Objektiv um $1 px unsicher: mehr Bilder nehmen, in denen die Vorlage die Ecken füllt."],
  [/^only (\d+) of (\d+) dots within the picture were recognised$/, "nur $1 von $2 Punkten im Bild wurden erkannt"],
  [/^only (\d+) of (\d+) dots could be measured: .*$/, "nur $1 von $2 Punkten ließen sich messen: das Bild ist unscharf oder zu dunkel"],
  [/^the pictures do not determine where the target lay: .*$/, "die Bilder bestimmen nicht, wo die Vorlage lag: weitere nehmen, nach mehreren Seiten gekippt"],
  [/^the pictures do not determine the lens term (\w+): .*$/, "die Bilder bestimmen den Objektivterm $1 nicht: weitere nehmen, nach mehreren Seiten gekippt"],
  [/^a picture shows fewer than four points of the target, or all in a line$/, "ein Bild zeigt weniger als vier Punkte der Vorlage, oder alle auf einer Linie"],
  [/^the calibration did not settle: .*$/, "die Berechnung kommt nicht zur Ruhe: weitere Bilder nehmen, nach mehreren Seiten gekippt"],
  [/^only (\d+) corners of the board were recognised$/, "nur $1 Ecken des Schachbretts wurden erkannt"],
  [/^the corners that were recognised lie in one line$/, "die erkannten Ecken liegen auf einer Linie"],
  [/^only (\d+) corners of the board could be measured: .*$/, "nur $1 Ecken des Schachbretts ließen sich messen: es ist verdeckt, unscharf oder im Bild zu klein"],
  [/^only (\d+) of (\d+) pictures can be used; .*$/, "nur $1 von $2 Bildern sind brauchbar; mindestens 2 sind nötig, 10 sind besser"],
  [/^the scans do not determine the scanner's terms: .*$/, "die Scans bestimmen die Eigenschaften des Scanners nicht"],
  [/^(.+) is (\d+) x (\d+) pixels and (.+) (\d+) x (\d+): scan the whole bed at one resolution$/, "$1 hat $2 × $3 Pixel und $4 $5 × $6: die ganze Auflage mit einer Auflösung scannen"],
  [/^the four rings in the middle of the target were not found$/, "die vier Ringe in der Mitte der Vorlage wurden nicht gefunden"],
  [/^the dots around the rings do not make up the target$/, "die Punkte um die Ringe ergeben nicht die Vorlage"],
  [/^no scan shows the target$/, "kein Scan zeigt die Vorlage"],
  [/^the target's points in a scan lie in one line$/, "die Punkte der Vorlage liegen in einem Scan auf einer Linie"],
  [/^(.+) does not show the target and was left out\.$/, "$1 zeigt die Vorlage nicht und blieb weg."],
  [/^(.+) shows only (\d+) points of the target and was left out\.$/, "$1 zeigt nur $2 Punkte der Vorlage und blieb weg."],
  [/^(.+) has (.+), the others (.+): it was left out\.$/, "$1 hat $2, die anderen $3: es blieb weg."],
  [/^The target lies the same way in all scans: .*$/, "Die Vorlage liegt in allen Scans gleich: Maß und Winkel des Druckers lassen sich nicht von denen des Scanners trennen. Einen Scan mit einer Vierteldrehung hinzunehmen."],
  [/^The target file does not give the rules' measured length: .*$/, "Die Länge der gedruckten Maßstäbe ist nicht gemessen: das Maß des Druckers steckt im Profil."],
  [/^The points of the target lie ([\d.]+) px off on average: the target did not lie flat.*$/, "Die Punkte liegen im Mittel $1 px daneben: die Vorlage lag nicht eben auf dem Glas."],
] as readonly (readonly [RegExp, string])[];
