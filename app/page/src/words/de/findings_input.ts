// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the codes of files, requests and the program itself are called and mean (findings.ts).

export const input = {
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

export const program = {
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
