import type { Guide } from "../guide.ts";

export default {
  title: "Anleitung",
  intro: "Vom fertigen Bogen zu einem Urteil, nach dem man handeln kann. Fünf Minuten zu lesen; jeder Schritt lässt sich mit dem Beispielauftrag ausprobieren.",
  contents: "In dieser Anleitung",
  chapters: [
    { id: "safety", title: "Bevor es losgeht", blocks: [
      { kind: "caution", text: "Kerfmark rät; es steuert nie eine Maschine. Abstand halten von bewegtem Balken, Messer oder Band: die Maschine anhalten und ihrer Anleitung folgen, bevor man hineingreift, einen Bogen abnimmt oder etwas verstellt. Schwere Stapel zu zweit oder mit Hebehilfe heben. Was die Anleitung der Maschine, die örtlichen Vorschriften und die zugelassene Praxis sagen, geht allem vor, was hier steht." },
    ] },
    { id: "photograph", title: "Den Bogen hinlegen, beleuchten, fotografieren", blocks: [
      { kind: "steps", items: [
        "Den Bogen flach hinlegen, Druckseite nach oben, auf einen Tisch, der dunkler oder heller ist als der Karton. Eine abstehende Ecke beschweren: 1 mm Abstand verschiebt, was am Rand eines Fotos zu sehen ist.",
        "Den ganzen Bogen mit allen Marken ins Bild nehmen, und sonst wenig. Für ein Foto sind vier Marken das Mindeste, für einen Scan drei; jede weitere macht die Zahlen sicherer.",
        "Die Kamera senkrecht über die Mitte halten. Bis etwa 15 Grad Neigung kosten wenig; über 30 wird der ferne Rand zu grob.",
        "Gleichmäßig beleuchten, ohne den eigenen Schatten und ohne Glanz auf dem Lack. Für Schnitte, die man kaum sieht, eine Lampe flach von einer Seite dazu: dann wirft der Schnitt einen Schatten.",
        "Scharfstellen, ruhig halten, in voller Größe aufnehmen. Kein digitaler Zoom, kein Filter, kein Dokumentmodus, der entzerrt oder beschneidet.",
        "Mit dem Flachbettscanner: 300 dpi reichen für die meisten Toleranzen, in Farbe, nichts nachgeschärft. Den Deckel sanft schließen, damit der Bogen nicht verrutscht.",
      ] },
      { kind: "drawing", name: "above", caption: "Senkrecht von oben, der ganze Bogen, alle Marken." },
      { kind: "drawing", name: "light", caption: "Eine flache Lampe von der Seite macht einen feinen Schnitt sichtbar." },
    ] },
    { id: "putin", title: "Das Bild einlegen", blocks: [
      { kind: "text", text: "Zuerst den Auftrag öffnen: von ihm kommen Bogengröße, Marken, Schnitte und Toleranzen. Eine Zeichnung (PDF, SVG, DXF) wird unter Aufträge zum Auftrag. Dann unter Prüfen:" },
      { kind: "points", items: [
        "Bilder irgendwohin ziehen, eines einfügen, Dateien wählen oder einen ganzen Ordner. Gelesen werden JPEG, PNG, TIFF, WebP, HEIC und AVIF.",
        "Kamera: Eine Webcam oder USB-Kamera zeigt vor dem Auslösen, wie viele Marken sie sieht, wie scharf sie sind und wie stark sie geneigt ist.",
        "Telefon: Der Arbeitsplatz zeigt einen Code, den ein Telefon einmal scannt. Seine Bilder gehen dann in dieselbe Auflage, und das Urteil steht auch auf dem Telefon. Der Zugang ist nur für diese Sitzung offen; das gelbe Zeichen am Rand zeigt es an. Über einfaches HTTP sind die Bilder nicht verschlüsselt: das Netz des Betriebs benutzen.",
      ] },
      { kind: "text", text: "Viele Bilder werden nacheinander gemessen. Anhalten lässt die übrigen warten, Weiter setzt fort. Dasselbe Bild zählt kein zweites Mal." },
    ] },
    { id: "verdict", title: "Das Urteil lesen", blocks: [
      { kind: "picture", name: "verdict", caption: "Das Urteil, sein Grund in einer Zeile und was jetzt zu tun ist." },
      { kind: "terms", rows: [
        ["GUT", "Jeder beurteilte Wert liegt mit mindestens 95 % Wahrscheinlichkeit innerhalb seiner Toleranz. Weitermachen; beginnt die Spalte mit „Beachten“, das zuerst lesen."],
        ["SCHLECHT", "Mindestens ein Wert liegt außerhalb: Die Wahrscheinlichkeit, dass er die Toleranz hält, ist 5 % oder weniger. Beim nächsten Bogen anhalten, alles seit der letzten guten Prüfung aussortieren, dann korrigieren."],
        ["UNSICHER", "Zu nah an der Grenze, um es mit diesem Bild zu entscheiden, oder von einem Schnitt war nur etwa die Hälfte zu sehen oder weniger, oder ein Teil nicht, an dem das Messer seinen Weg verlassen haben kann. Siehe das nächste Kapitel."],
        ["NICHT GEMESSEN", "Das Bild gibt keine verlässliche Zahl her und sagt, warum: Marken fehlen, zu unscharf, anderer Auftrag. Geraten wird nie. Das Genannte beheben und neu aufnehmen."],
      ] },
    ] },
    { id: "unsure", title: "Was tun bei UNSICHER", blocks: [
      { kind: "steps", items: [
        "Nennen die Warnungen einen Schnitt, der nicht gefunden wurde, zuerst am Bogen nachsehen: Er kann dunkel auf dunklem Druck liegen oder gar nicht geschnitten sein. Nennen sie eine Stelle, die nicht zu sehen war, dort mit der Lupe nachsehen: Der Schlitz kann geschlossen sein, oder das Messer hat seinen Weg verlassen.",
        "Noch ein Bild desselben Bogens aufnehmen: näher, flacher, senkrecht von oben, gleichmäßig beleuchtet. Ein Scan ist sicherer als ein Foto.",
        "Unter „Woher die Unsicherheit kommt“ nachsehen: Der längste Balken nennt, was zu verbessern ist. Ein Kameraprofil (unter Kameras) verkürzt den des Objektivs.",
        "Die Bogen davor und danach prüfen.",
        "Bleibt es unsicher, den Bogen als schlecht behandeln. Eine Grenze, die oft unsicher ist, ist enger, als diese Kamera urteilen kann: einen Scan nehmen oder über die Toleranz reden.",
      ] },
    ] },
    { id: "figures", title: "Was jede Zahl bedeutet", blocks: [
      { kind: "picture", name: "judged", caption: "Was beurteilt wurde, gegen welche Grenze, und wie sicher es sie hält." },
      { kind: "terms", rows: [
        ["Schlechteste Stelle", "Die 10 mm Schnitt, die auf dem ganzen Bogen am weitesten von ihrer gedruckten Lage entfernt sind. Das beurteilt die Toleranz der Lage."],
        ["± U", "Die erweiterte Messunsicherheit (k = 2): Der wahre Wert liegt in etwa 95 von 100 Fällen innerhalb ± U. Unschärfe, Neigung, Objektiv, Druck und Licht gehen ein."],
        ["Grenze, Sicher innerhalb", "Die Toleranz des Auftrags und die Wahrscheinlichkeit, dass der wahre Wert sie hält."],
        ["Versatz", "Wie weit der ganze Schnitt gegen den Druck verschoben ist, auf die bedruckte Seite gesehen: rechts und oben sind +."],
        ["Drehung", "Wie weit der Schnitt verdreht ist, in mm je Meter; gegen den Uhrzeiger ist +. 1 mm/m verschiebt einen Punkt in 1 m Entfernung um 1 mm."],
        ["Winkelfehler", "Wie weit die Senkrechte des Schnitts gegen seine Grundlinie geneigt ist, in mm je Meter."],
        ["Dehnung", "Wie viel länger der Schnitt ist als der Druck, quer und längs, in mm je Meter. Papier, das getrocknet oder gewachsen ist, zeigt sich hier."],
        ["Mittel, Größte, Gesehen", "Für jeden Schnitt und jede Rillung: mittlere und größte Abweichung und der Anteil der Länge, der gefunden wurde. Wo von einem Schnitt nur etwa die Hälfte oder weniger gefunden wurde, ist ein Bogen bestenfalls UNSICHER: am Bogen nachsehen. Eine Rillung, die nicht gefunden wurde, ist nicht beurteilt."],
        ["Vergrößerte Linien im Bild", "Die Abweichungen, vergrößert um den Faktor, der unter dem Bild steht. Grün ist innerhalb der Grenze, orange und gestrichelt außerhalb."],
      ] },
    ] },
    { id: "correct", title: "Den Schneider korrigieren", blocks: [
      { kind: "picture", name: "correction", caption: "Was zu verstellen ist, am Schneider gesehen." },
      { kind: "text", text: "Die Korrektur ist, was zu den Einstellungen des Schneiders hinzukommt, schon gewendet, wo der Bogen von der Rückseite geschnitten wird. Teile, die kleiner sind als ihre Unsicherheit, stehen grau: so lassen." },
      { kind: "text", text: "Ein einzelner Bogen ist ein schwacher Grund zu korrigieren: Jeder Bogen streut, und wer dem nachläuft, macht die nächsten schlechter. Die Auflage ansehen. Sie trennt Streuung von Versatz und Versatz von Drift und sagt, wann eine Korrektur fällig ist." },
      { kind: "caution", text: "Die Maschine anhalten und ihrer Anleitung folgen, bevor etwas verstellt wird. Nach jeder Korrektur den ersten Bogen prüfen." },
    ] },
    { id: "aside", title: "Bogen aussortieren", blocks: [
      { kind: "text", text: "Bogen zwischen zwei guten Prüfungen sind frei. Bogen neben einer schlechten oder unsicheren Prüfung sind verdächtig, bis zur nächsten guten. Die Auflage sagt, welcher Bogen als Nächstes zu prüfen ist, sodass sich die Suche jedes Mal halbiert, und hält fest, wer was warum entschieden hat." },
      { kind: "caution", text: "Bogen nur vom stehenden Tisch nehmen. Schwere Stapel zu zweit oder mit Hebehilfe heben." },
    ] },
    { id: "keys", title: "Tasten", blocks: [
      { kind: "terms", rows: [
        ["Im Bild", "Pfeiltasten verschieben, + und − ändern die Größe, 0 zeigt alles, W geht zur schlechtesten Stelle."],
        ["In der Reihe der Bilder", "Pfeiltasten gehen von einem zum nächsten, Entf nimmt eines weg; Rückgängig bringt es zurück."],
        ["Überall", "Tab geht weiter, Eingabe oder Leertaste drückt, Esc schließt."],
      ] },
    ] },
  ],
} satisfies Guide;
