// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { findings as pattern } from "../en/findings.ts";
import type { Like } from "../index.ts";

type Codes = Like<typeof pattern>["codes"];

const measuring = {
  "apogee-extrapolated": {
    title: "Der höchste Punkt war nicht zu sehen",
    told: "Er wurde aus der übrigen Bahn berechnet. Gehen Sie das nächste Mal weiter zurück oder neigen Sie die Kamera nach oben, sodass der ganze Bogen im Bild ist.",
  },
  "landing-extrapolated": {
    title: "Die Landung war nicht zu sehen",
    told: "Weite und Flugzeit sind berechnet. Filmen Sie bis zur Landung, oder messen Sie die Weite mit dem Maßband.",
  },
  "no-landing": {
    title: "Sie kommt nicht bis zur Landehöhe herunter",
    told: "Der Flug erreicht die Landehöhe nicht innerhalb einer Minute. Prüfen Sie in Teil 2 die Höhe des Startpunkts über dem Landeplatz.",
  },
  "drag-not-measurable": {
    title: "Zu wenig Bogen, um den Luftwiderstand zu messen",
    told: "Der Luftwiderstand ist hier vor allem der solcher Raketen im Allgemeinen, nicht der dieses Films. Filmen Sie den ganzen Bogen.",
  },
  "drag-changes": {
    title: "Der Luftwiderstand änderte sich im Flug",
    told: "Von einem Moment an bremste die Luft deutlich stärker oder schwächer. Sehen Sie ab da ins Bild: Taumeln, ein geknickter Rumpf, eine verlorene Flosse.",
  },
  "gravity-only": {
    title: "Nur die Schwerkraft gab den Maßstab",
    told: "Nichts in Teil 2 trägt Meter. Stellen Sie eine bekannte Länge ins Bild.",
  },
  "launch-point-assumed": {
    title: "Kein Startpunkt gesetzt",
    told: "Genommen wurde die Stelle, an der die Rakete zuerst zu sehen war. Setzen Sie in Teil 2 die Mündung des Rohrs.",
  },
  "launch-point-off-path": {
    title: "Die Bahn verfehlt den Startpunkt",
    told: "Zurückverfolgt läuft die Bahn an der Marke vorbei. Setzen Sie die Marke auf die Mündung des Rohrs, nicht auf seinen Fuß.",
  },
  "residuals-large": {
    title: "Die Punkte liegen weit von der angepassten Bahn",
    told: "Das Flugmodell erklärt sie nicht gut. Suchen Sie nach wechselndem Luftwiderstand, bewegter Kamera oder verzeichnendem Objektiv.",
  },
  "prior-pulled": {
    title: "Eine Angabe passt nicht zum Flug",
    told: "Auslesezeit, Wind oder Richtung müssten weit neben dem liegen, was angegeben oder angenommen ist. Prüfen Sie diese Angabe in Teil 2.",
  },
  "rulers-disagree": {
    title: "Schwerkraft und bekannte Länge widersprechen sich",
    told: "Die Länge nach der Schwerkraft und die aus Teil 2 stimmen nicht überein. Prüfen Sie die Länge, wie weit vor der Flugebene sie lag, und ob der Film eine Zeitlupe ist.",
  },
  "path-ambiguous": {
    title: "In diesem Film fliegt zweierlei",
    told: "Eine andere Bahn fliegt etwa ebenso gut. Sagen Sie in Teil 3, welche von beiden die Rakete ist, oder setzen Sie in Teil 2 den Startpunkt.",
  },
  "repeated-frames": {
    title: "Der Film zeigt Bilder doppelt",
    told: "Das jeweils zweite wurde weggelassen. Filmen Sie bei mehr Licht, und nehmen Sie den Film so, wie ihn das Telefon aufnahm.",
  },
  "tumbling": {
    title: "Sie taumelte",
    told: "Der Rumpf drehte sich weit aus der Bahn. Größere oder mehr Flossen oder eine schwerere Spitze; der Luftwiderstand ist der eines taumelnden Körpers.",
  },
  "no-rocket": {
    title: "Keine Rakete gefunden",
    told: "Nichts im Film bewegt sich wie ein geworfener Körper. Zeigen Sie dem Programm in Teil 3 die Rakete auf einigen Bildern, oder filmen Sie gegen den Himmel mit ruhiger Kamera.",
  },
  "time-base-suspect": {
    title: "Die Sekunden des Films sind keine echten",
    told: "Alles fällt zu langsam oder zu schnell: wohl eine Zeitlupe. Geben Sie in Teil 2 die Bildrate an, mit der gefilmt wurde.",
  },
  "too-few-points": {
    title: "Die Rakete war auf zu wenigen Bildern zu sehen",
    told: "Acht Bilder freien Flugs sind das Mindeste. Zeigen Sie die Rakete in Teil 3 auf weiteren Bildern, oder filmen Sie mit mehr Bildern je Sekunde.",
  },
  "no-flight-through-marks": {
    title: "Kein Flug geht durch die gezeigten Stellen",
    told: "Prüfen Sie sie in Teil 3 einzeln: Jede muss auf der Rakete liegen, auf ihrem eigenen Bild.",
  },
  "no-scale": {
    title: "Nichts sagt, wie groß es ist",
    told: "Keine Länge ist bekannt, und der höchste Punkt ist nicht im Bild. Setzen Sie in Teil 2 eine bekannte Länge.",
  },
  "survey-contradicts": {
    title: "Die Marken und Längen aus Teil 2 widersprechen sich",
    told: "Sie können nicht alle stimmen. Prüfen Sie jede Marke und jede Länge.",
  },
  "fit-failed": {
    title: "Kein Flug ließ sich anpassen",
    told: "Kein Flug mit Schwerkraft und Luftwiderstand läuft nahe an den Punkten. Sehen Sie in Teil 3 nach, ob sie auf der Rakete liegen.",
  },
  "not-ballistic": {
    title: "Es flog nicht wie ein geworfener Körper",
    told: "Der beste Flug verfehlt die Hälfte der Punkte. Sehen Sie in Teil 3 nach, ob das Richtige verfolgt wurde.",
  },
  "no-picture": {
    title: "Es ließ sich kein Bild machen",
    told: "Es gibt kein Filmbild, auf das der Flug gezeichnet werden könnte. Die Zahlen gelten trotzdem.",
  },
  "no-flight": {
    title: "Kein Teil des Flugs ist im Bild",
    told: "Das Gesamtbild hat nichts zu zeigen. Die Zahlen gelten trotzdem.",
  },
  "pose-unknown": {
    title: "Die Kamera bewegte sich, und ihre Richtung ist dort nicht bekannt",
    told: "Setzen Sie die Marken von Teil 2 auf einem Bild nahe am Flug, auf dem die Kamera dieselbe Szene zeigt.",
  },
};

const planning = {
  "shot-blurred": {
    title: "Die Rakete wäre verwischt",
    told: "Beim Start wäre ihre Spur länger als die Rakete selbst. Mehr Licht, kürzere Belichtung.",
  },
  "shot-small": {
    title: "Die Rakete wäre klein",
    told: "Am höchsten Punkt wäre sie weniger als 8 px lang. Mehr Pixel, oder näher heran.",
  },
  "shot-fast": {
    title: "Die Rakete wäre schnell",
    told: "Beim Start liefe sie mehr als 80 px von Bild zu Bild. Eine höhere Bildrate, oder weiter weg.",
  },
  "spread-unknown": {
    title: "Wie verschieden Starts ausfallen, ist nicht bekannt",
    told: "Keine Bauart hat zwei Flüge, nach denen es zu beurteilen wäre. Starten Sie eine Bauart mindestens zweimal.",
  },
  "flight-out-of-view": {
    title: "Der Flug wäre nicht im Bild",
    told: "Von diesem Platz aus ist nichts von ihm zu sehen. Gehen Sie zurück, oder drehen Sie die Kamera.",
  },
  "drag-beyond-table": {
    title: "Der Flug verlässt die Tabelle des Luftwiderstands",
    told: "Darüber hinaus galt ihr nächstes Ende. Verlängern Sie die Tabelle.",
  },
  "starts-from-caution": {
    title: "Jener Flug wurde mit Vorbehalten gemessen",
    told: "Lesen Sie sie in seinem Bericht, bevor Sie sich auf die Vorhersage verlassen.",
  },
  "nothing-measured": {
    title: "Dort wurde nichts gemessen",
    told: "Der genannte Flug wurde abgelehnt und gibt nichts her. Nennen Sie einen anderen.",
  },
};

const comparing = {
  "several-variables": {
    title: "Die Bauarten unterscheiden sich in mehr als einem",
    told: "Was den Unterschied machte, ist so nicht zu sagen. Ändern Sie immer nur eines.",
  },
  "design-not-uniform": {
    title: "Raketen einer Bauart sind nicht gleich",
    told: "Eine Eigenschaft hat innerhalb einer Bauart mehrere Werte. Geben Sie jeder Art Rakete einen eigenen Namen.",
  },
  "order-not-shuffled": {
    title: "Die Reihenfolge war nicht gemischt",
    told: "Alle Starts einer Bauart kamen vor denen einer anderen; Wind oder Verschleiß sehen dann aus wie die Bauart. Mischen Sie die Reihenfolge.",
  },
  "day-drifts": {
    title: "Der Tag veränderte sich",
    told: "Startgeschwindigkeit oder Weite gehen mit der Reihenfolge der Starts. Mischen Sie die Reihenfolge.",
  },
  "few-flights": {
    title: "Wenige Flüge",
    told: "Von einer Bauart gibt es weniger als drei brauchbare Flüge. Starten Sie mehr.",
  },
  "push-differs": {
    title: "Die Bauarten wurden nicht gleich angestoßen",
    told: "Ihre Startgeschwindigkeiten unterscheiden sich. Sehen Sie den Vergleich beim Einheitsstart an.",
  },
  "masses-differ": {
    title: "Die Massen der Bauarten unterscheiden sich",
    told: "Um 5 % oder mehr. Die Widerstandsfläche lässt die Masse außer Acht.",
  },
  "day-incomplete": {
    title: "Einige Flüge sind noch nicht gemessen",
    told: "Lassen Sie den Tag noch einmal laufen, um den Rest der Tabelle zu messen.",
  },
  "tape-disagrees": {
    title: "Maßband und Film widersprechen sich",
    told: "Gemessene und mit dem Band bestimmte Weiten unterscheiden sich mehr, als ihre Unsicherheiten erklären. Prüfen Sie bekannte Länge und Maßband.",
  },
  "no-flights": {
    title: "Kein Flug lässt sich vergleichen",
    told: "Kein Flug des Tages wurde gemessen. Sehen Sie nach, was zu jedem Film steht.",
  },
};

const validating = {
  "launches-differ": {
    title: "Eine Simulation, verschiedene Starts",
    told: "Die Startgeschwindigkeiten unterscheiden sich über ihre Unsicherheit hinaus. Simulieren Sie jeden Flug von seinem eigenen Start aus.",
  },
  "one-survey": {
    title: "Alle Flüge teilen sich eine Vermessung",
    told: "Ein Fehler darin steckte in allen. Messen und setzen Sie für einige neu.",
  },
  "named-twice": {
    title: "Ein Flug wurde zweimal genannt",
    told: "Er zählt einmal. Es ist nichts zu tun.",
  },
  "too-little-drag": {
    title: "Der Simulator hat zu wenig Luftwiderstand",
    told: "Mehr Luftwiderstand würde seine Bahn am besten berichtigen.",
  },
  "too-much-drag": {
    title: "Der Simulator hat zu viel Luftwiderstand",
    told: "Weniger Luftwiderstand würde seine Bahn am besten berichtigen.",
  },
  "launch-too-fast": {
    title: "Der Simulator startet zu schnell",
    told: "Ein langsamerer Start würde seine Bahn am besten berichtigen. Ändern Sie seine Startgeschwindigkeit.",
  },
  "launch-too-slow": {
    title: "Der Simulator startet zu langsam",
    told: "Ein schnellerer Start würde seine Bahn am besten berichtigen. Ändern Sie seine Startgeschwindigkeit.",
  },
  "launch-too-steep": {
    title: "Der Simulator startet zu steil",
    told: "Ein flacherer Start würde seine Bahn am besten berichtigen. Ändern Sie seinen Startwinkel.",
  },
  "launch-too-flat": {
    title: "Der Simulator startet zu flach",
    told: "Ein steilerer Start würde seine Bahn am besten berichtigen. Ändern Sie seinen Startwinkel.",
  },
  "wind-differs": {
    title: "Der Simulator hat anderen Wind",
    told: "Anderer Wind würde seine Bahn am besten berichtigen. Messen Sie den Wind.",
  },
  "several-mends": {
    title: "Mehr als eine Änderung würde die Bahn berichtigen",
    told: "Prüfen Sie zuerst, was sich am leichtesten messen lässt.",
  },
  "no-single-mend": {
    title: "Keine einzelne Änderung berichtigt die Bahn",
    told: "Starten Sie den Simulator mit dem gemessenen Start.",
  },
  "simulator-shape": {
    title: "Die Bahn des Simulators hat eine andere Form",
    told: "Kein Start, kein gleichbleibender Luftwiderstand und kein Wind biegt eine Bahn so. Suchen Sie nach Schub, Gleiten oder wechselndem Luftwiderstand.",
  },
  "simulator-units": {
    title: "Die Einheiten des Simulators scheinen falsch",
    told: "Seine Orte sind etwa 3,3-, 0,3-, 100- oder 0,01-mal so groß wie gemessen. Nennen Sie die Einheit im Kopf der Spalte.",
  },
  "simulator-columns-disagree": {
    title: "Die Spalten des Simulators widersprechen sich",
    told: "Seine Geschwindigkeiten sind nicht die Änderung seiner Orte. Prüfen Sie die Einheiten.",
  },
  "simulator-launch-unclear": {
    title: "Wann der Simulator startet, ist unklar",
    told: "Nach der Zeile, die als Start galt, wird er noch schneller. Geben Sie den Zeitpunkt des Starts an.",
  },
  "launch-not-as-measured": {
    title: "Der Simulator startet nicht wie gemessen",
    told: "Geschwindigkeit oder Winkel sind nicht die gemessenen. Starten Sie ihn damit.",
  },
  "simulator-heights-only": {
    title: "Der Simulator nennt nur Höhen",
    told: "Seine Tabelle hat keine waagrechten Entfernungen. Ergänzen Sie die Spalte.",
  },
  "simulator-ends-early": {
    title: "Die Simulation endet früh",
    told: "Ihre Tabelle endet über der Landehöhe. Lassen Sie sie weiterlaufen.",
  },
  "measured-with-caution": {
    title: "Der gemessene Flug hat eigene Vorbehalte",
    told: "Lesen Sie seinen Bericht.",
  },
  "no-common-time": {
    title: "Film und Simulation haben kein Stück Flug gemeinsam",
    told: "Es gibt nichts nebeneinanderzulegen. Prüfen Sie die Zeiten der Tabelle.",
  },
};

const calibrating = {
  "no-board": {
    title: "Kein Schachbrett gefunden",
    told: "Es ist auf keinem Bild ganz zu sehen. Fotografieren Sie es ganz, eben und gut beleuchtet.",
  },
  "too-few-boards": {
    title: "Zu wenige Bilder vom Schachbrett",
    told: "Auf weniger als fünf ist es ganz zu sehen. Machen Sie mehr.",
  },
  "boards-not-tilted": {
    title: "Die Bretter gleichen sich zu sehr",
    told: "Alle stehen gerade vor der Kamera. Kippen Sie das Brett auf einigen Bildern.",
  },
  "boards-do-not-fit": {
    title: "Kein Objektiv erklärt die Bretter",
    told: "Ein anderes Muster oder veränderter Zoom. Zählen Sie die Felder, und lassen Sie den Zoom unverändert.",
  },
  "clip-too-short": {
    title: "Der Film ist zu kurz",
    told: "Nötig sind mindestens 45 Bilder. Filmen Sie die Lampe länger.",
  },
  "no-flicker": {
    title: "Kein Flimmern gefunden",
    told: "Filmen Sie eine flimmernde Lampe ohne Tageslicht, mit kurzer Belichtung und ruhigem Telefon.",
  },
  "bands-stand-still": {
    title: "Die Streifen des Flimmerns stehen still",
    told: "Bei dieser Bildrate sind sie von der Szene nicht zu unterscheiden. Filmen Sie eine glatte Wand, oder mit anderer Bildrate.",
  },
  "readout-not-clear": {
    title: "Die Streifen des Flimmerns sind zu schwach",
    told: "Filmen Sie näher an der Lampe und mit kürzerer Belichtung.",
  },
};

const input = {
  "cannot-read": {
    title: "Die Datei ist nicht lesbar",
    told: "Ist sie noch da, und darf sie gelesen werden? Wählen Sie sie in Teil 1 noch einmal.",
  },
  "empty-file": {
    title: "Die Datei ist leer",
    told: "Kopieren Sie den Film noch einmal vom Telefon.",
  },
  "not-a-video": {
    title: "Das ist kein Film",
    told: "Wählen Sie einen Film, wie ihn das Telefon aufnahm (mp4, mov ...).",
  },
  "damaged-clip": {
    title: "Der Film ist beschädigt",
    told: "Er bricht ab oder lässt sich nicht entschlüsseln. Kopieren Sie ihn noch einmal vom Telefon.",
  },
  "bad-json": {
    title: "Die Datei ist kein richtiges JSON",
    told: "Die Meldung nennt die Zeile. Berichtigen Sie sie, oder erzeugen Sie die Datei neu.",
  },
  "bad-csv": {
    title: "Die Tabelle ist keine richtige CSV-Datei",
    told: "Die Meldung nennt die Zeile. Speichern Sie sie aus einer Tabellenkalkulation als CSV.",
  },
  "bad-format": {
    title: "Die Datei ist von anderer Art",
    told: "Sie ist nicht das, was hier gebraucht wird. Wählen Sie die richtige Datei.",
  },
  "bad-version": {
    title: "Die Datei hat eine unbekannte Fassung",
    told: "Eine andere Version des Programms schrieb sie. Erzeugen Sie sie mit dieser neu.",
  },
  "unknown-key": {
    title: "Die Datei enthält einen unbekannten Eintrag",
    told: "Die Meldung nennt ihn. Prüfen Sie die Schreibweise.",
  },
  "missing-key": {
    title: "Der Datei fehlt ein Eintrag",
    told: "Die Meldung nennt ihn. Ergänzen Sie ihn.",
  },
  "unknown-column": {
    title: "Die Tabelle hat eine unbekannte Spalte",
    told: "Die Meldung nennt sie. Prüfen Sie die Schreibweise.",
  },
  "missing-column": {
    title: "Der Tabelle fehlt eine Spalte",
    told: "Die Meldung nennt sie. Ergänzen Sie sie.",
  },
  "empty-table": {
    title: "Die Tabelle ist leer",
    told: "Sie braucht mindestens eine Zeile unter der Kopfzeile.",
  },
  "bad-value": {
    title: "Ein unmöglicher Wert",
    told: "Die Meldung nennt ihn und was erlaubt ist. Berichtigen Sie ihn.",
  },
  "bad-quantity": {
    title: "Eine unlesbare Größe",
    told: "Schreiben Sie Zahl und Einheit, etwa „10 m“ oder „8.2 g +- 0.1 g“.",
  },
  "bad-table": {
    title: "Zellen der Tabelle sind nicht brauchbar",
    told: "Jede ist mit Zeile, Spalte und dem Erlaubten genannt. Berichtigen Sie sie.",
  },
  "in-use": {
    title: "In diesem Ordner arbeitet schon ein anderer Lauf",
    told: "Warten Sie, bis er zu Ende ist.",
  },
  "not-a-day": {
    title: "Hier gibt es keinen gemessenen Tag",
    told: "Lassen Sie den Tag erst laufen.",
  },
  "no-such-variable": {
    title: "Die Tabelle hat keine solche Spalte",
    told: "Wählen Sie eine ihrer Spalten.",
  },
  "shard-missing": {
    title: "Ein Teil des Tages fehlt",
    told: "Messen Sie ihn, oder kopieren Sie ihn hierher.",
  },
  "shard-twice": {
    title: "Ein Teil des Tages ist zweimal da",
    told: "Lassen Sie einen davon weg.",
  },
  "shard-incomplete": {
    title: "Ein Teil des Tages ist unvollständig",
    told: "Lassen Sie ihn bis zum Ende laufen.",
  },
  "shard-foreign": {
    title: "Ein Teil gehört zu einem anderen Tag",
    told: "Lassen Sie ihn weg.",
  },
  "not-a-picture": {
    title: "Das ist weder Foto noch Film",
    told: "Wählen Sie eine andere Datei.",
  },
  "damaged-picture": {
    title: "Das Bild ist beschädigt",
    told: "Kopieren Sie es noch einmal vom Telefon.",
  },
  "mark-outside-picture": {
    title: "Eine Marke liegt außerhalb des Bildes",
    told: "Setzen Sie sie in Teil 2 neu.",
  },
  "size-mismatch": {
    title: "Die Größen passen nicht zusammen",
    told: "Die Marken gehören zu einem Bild anderer Größe. Nehmen Sie die dieses Films, oder setzen Sie sie in Teil 2 neu.",
  },
};

const looking = {
  "clip-broken-off": {
    title: "Die Datei bricht vor ihrem Ende ab",
    told: "Die Bilder bis dahin sind zu sehen. Kopiere den Clip noch einmal vom Telefon: Mit einem fehlenden Stück lässt er sich nicht messen.",
  },
  "clip-short": {
    title: "Der Clip ist sehr kurz",
    told: "Ein Flug braucht mindestens acht Bilder und meist mehr als eine Sekunde. Filme ab zwei Sekunden vor dem Start bis zwei Sekunden nach der Landung.",
  },
  "clip-long": {
    title: "Der Clip ist lang",
    told: "Er wird ganz nach dem Flug durchsucht. Kürze ihn am Telefon, dann kommt die Antwort früher.",
  },
  "slow-motion": {
    title: "Das ist Zeitlupe",
    told: "Das Telefon hat vermerkt, wie viele Bilder es je Sekunde aufnahm, und danach wird die Zeit gezählt. Wurde der Clip noch einmal verlangsamt, gib in Teil 2 die wahre Bildrate an.",
  },
  "rate-low": {
    title: "Wenige Bilder je Sekunde",
    told: "Eine schnelle Rakete kommt von einem Bild zum nächsten weit. Filme mit 60 Bildern je Sekunde oder mehr, wenn das Telefon es kann.",
  },
  "frames-missing": {
    title: "Es fehlen Bilder",
    told: "Die Zeiten der übrigen stimmen. Schließe beim Filmen andere Apps und nimm das Original vom Telefon.",
  },
  "frames-uneven": {
    title: "Die Bilder kommen nicht gleichmäßig",
    told: "Nichts zu tun: Jedes Bild zählt zu seiner eigenen Zeit.",
  },
  "picture-small": {
    title: "Das Bild ist klein",
    told: "Filme in voller Auflösung und nimm das Original: Nachrichtendienste verkleinern Clips.",
  },
  "picture-dark": {
    title: "Das Bild ist dunkel",
    told: "Das Telefon wird lange belichtet haben, und Schnelles hinterlässt einen Streifen. Filme bei Tageslicht.",
  },
  "no-colour": {
    title: "Das Bild hat keine Farben",
    told: "Nichts zu tun: Die Rakete wird allein an ihrer Helligkeit gefunden.",
  },
};

const program = {
  "not-let-in": {
    title: "Dieser Browser wurde nicht eingelassen",
    told: "Öffnen Sie die Adresse, die das Programm beim Start ausgegeben hat.",
  },
  "foreign-host": {
    title: "Die Seite wurde unter einem fremden Namen aufgerufen",
    told: "Öffnen Sie die Adresse, die das Programm beim Start ausgegeben hat.",
  },
  "foreign-origin": {
    title: "Eine andere Seite wollte etwas ändern",
    told: "Das darf nur die Seite von Loftline selbst. Schließen Sie die andere, und öffnen Sie die Adresse, die das Programm ausgegeben hat.",
  },
  "too-large": {
    title: "Die Datei ist zu groß",
    told: "Kürzen Sie den Film auf den Flug und einige Sekunden davor und danach, oder legen Sie ihn in den Ordner, in dem das Programm arbeitet.",
  },
  "too-long": {
    title: "Diese Adresse ist zu lang",
    told: "Gehen Sie zurück zur Liste der Filme.",
  },
  "no-such-clip": {
    title: "Dieser Film ist nicht mehr da",
    told: "Er wurde verschoben oder umbenannt. Wählen Sie ihn in der Liste der Filme neu.",
  },
  "no-such-frame": {
    title: "Der Film hat kein solches Bild",
    told: "Gehen Sie zu einem anderen.",
  },
  "no-such-point": {
    title: "Eine Änderung von Hand hat keinen Punkt mehr",
    told: "Die Spur ist jetzt eine andere. Nehmen Sie diese Änderung in Teil 3 zurück.",
  },
  "not-measured": {
    title: "Dieser Film ist noch nicht gemessen",
    told: "Messen Sie ihn in Teil 3.",
  },
  "not-ready": {
    title: "Das Blatt lässt sich noch nicht messen",
    told: "In Teil 2 steht, was fehlt.",
  },
  "not-found": {
    title: "Unter dieser Adresse ist nichts",
    told: "Gehen Sie zurück zur Liste der Filme.",
  },
  "no-file": {
    title: "Diese Datei gibt es nicht",
    told: "Messen Sie erst; dann entsteht sie.",
  },
  "cannot-write": {
    title: "Eine Datei ließ sich nicht schreiben",
    told: "Ist die Platte voll, oder darf in den Ordner nicht geschrieben werden?",
  },
  "cannot-draw": {
    title: "Das Bild ließ sich nicht zeichnen",
    told: "Messen Sie noch einmal. Hilft das nicht, starten Sie das Programm neu.",
  },
  "cannot-encode": {
    title: "Bild oder Film ließ sich nicht schreiben",
    told: "Messen Sie noch einmal. Hilft das nicht, starten Sie das Programm neu.",
  },
  "no-clip": {
    title: "Der Film ist nicht da",
    told: "Er wurde verschoben oder umbenannt. Legen Sie ihn zurück, oder wählen Sie ihn in Teil 1 neu.",
  },
  "bad-name": {
    title: "Dieser Name ist nicht brauchbar",
    told: "Buchstaben, Ziffern, Leerzeichen, Punkte, Striche; keine Ordner.",
  },
  "day-exists": {
    title: "Einen Tag dieses Namens gibt es schon",
    told: "Wählen Sie einen anderen Namen, oder öffnen Sie den vorhandenen.",
  },
  "no-day": {
    title: "Einen Tag dieses Namens gibt es nicht",
    told: "Gehen Sie zurück zur Liste der Tage.",
  },
  "outside-folder": {
    title: "Diese Datei liegt außerhalb des Ordners",
    told: "Nur Dateien aus dem Ordner, in dem das Programm arbeitet, lassen sich verwenden.",
  },
  "bad-columns": {
    title: "Die Spalten sind nicht zu unterscheiden",
    told: "Sagen Sie, welche Spalte welche ist.",
  },
  "changed-elsewhere": {
    title: "Das wurde in einem anderen Tab oder Fenster geändert",
    told: "Jetzt ist der neuere Stand zu sehen: Machen Sie damit weiter.",
  },
  "cut-short": {
    title: "Die Datei kam nicht ganz an",
    told: "Versuchen Sie es noch einmal.",
  },
  "cancelled": {
    title: "Es wurde abgebrochen",
    told: "Starten Sie es wieder, wenn Sie es brauchen.",
  },
  "internal": {
    title: "Das Programm hat einen Fehler gemacht",
    told: "Versuchen Sie es noch einmal. Geschieht es wieder, starten Sie das Programm neu und sagen Sie es denen, die es machen.",
  },
  "bad-method": {
    title: "Das geht hier nicht",
    told: "Laden Sie die Seite neu.",
  },
  "bad-body": {
    title: "Das kam in einer Form, die hier nicht angenommen wird",
    told: "Laden Sie die Seite neu.",
  },
  "no-length": {
    title: "Was ankam, sagt nicht, wie lang es ist",
    told: "Laden Sie die Seite neu.",
  },
  "bad-range": {
    title: "Dieser Teil der Datei ist nicht zu haben",
    told: "Laden Sie die Seite neu.",
  },
  "old-result": {
    title: "Dieses Ergebnis stammt von einer älteren Version",
    told: "Messen Sie den Film noch einmal.",
  },
  "impossible-launch": {
    title: "So kann kein Start sein",
    told: "Prüfen Sie Geschwindigkeit und Winkel.",
  },
  "never-lands": {
    title: "Dieser Flug landet nie",
    told: "Prüfen Sie Start und Landehöhe.",
  },
  "launch-outside-table": {
    title: "Der Start liegt außerhalb der Tabelle des Simulators",
    told: "Prüfen Sie ihre Zeiten.",
  },
  "launch-and-alignment": {
    title: "Zweierlei ist verlangt, das sich ausschließt",
    told: "Lassen Sie eines davon weg.",
  },
  "simulator-never-flies": {
    title: "In der Tabelle des Simulators fliegt nichts",
    told: "Prüfen Sie ihre Spalten.",
  },
  "simulator-without-apogee": {
    title: "Die Tabelle des Simulators hat keinen höchsten Punkt",
    told: "Lassen Sie ihn länger laufen.",
  },
  "time-not-rising": {
    title: "Die Zeiten der Tabelle steigen nicht",
    told: "Sortieren Sie ihre Zeilen nach der Zeit.",
  },
  "too-few-rows": {
    title: "Die Tabelle hat zu wenige Zeilen",
    told: "Lassen Sie den Simulator mehr davon schreiben.",
  },
  "page-error": {
    title: "Die Seite hat einen Fehler gemacht",
    told: "Laden Sie sie neu. Nichts Gespeichertes ist verloren.",
  },
};

export const findings: Like<typeof pattern> = {
  note: "Hinweis",
  caution: "Vorbehalt",
  refusal: "Abgelehnt",
  programSays: "Das Programm sagt dazu auf Englisch:",
  codes: { ...measuring, ...planning, ...comparing, ...validating, ...calibrating, ...looking, ...input, ...program } satisfies Codes,
};
