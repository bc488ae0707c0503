// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the codes of planning, comparing designs and checking a simulator are called and mean (findings.ts).

export const planning = {
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

export const comparing = {
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

export const validating = {
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
  "simulator-axes": {
    title: "Die Achsen des Simulators zeigen anderswohin",
    told: "Seine Höhen zählen abwärts, oder zwei Spalten sind vertauscht. Sagen Sie, welche welche ist.",
  },
  "simulator-from-footage": {
    title: "Die Simulation stammt aus diesem Clip",
    told: "Sie wurde aus eben diesem Flug vorausgesagt und stimmt deshalb von selbst. Nehmen Sie Zahlen aus anderer Quelle.",
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
  "simulator-rows-coarse": {
    title: "Die Zeilen des Simulators liegen weit auseinander",
    told: "Was dazwischen liegt, zählt als unsicher. Lassen Sie ihn mehr Zeilen schreiben, oder die Geschwindigkeiten.",
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
