// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { day as pattern } from "../en/day.ts";
import type { Like } from "../index.ts";

const launches = (count: number): string => (count === 1 ? "1 Start" : `${count} Starts`);

export const day: Like<typeof pattern> = {
  lead: "Alle Filme eines Starttags in einer Tabelle, zusammen gemessen; dann die Bauarten verglichen und ein Simulator geprüft.",
  daysHere: "Starttage in diesem Ordner",
  noDays: "Hier ist noch kein Starttag. Legen Sie einen an oder bringen Sie seine Tabelle.",
  states: { empty: "leer", table: "noch nicht gemessen", measured: "gemessen", running: "wird gemessen", unreadable: "nicht lesbar" },
  newDay: "Ein neuer Starttag",
  dayName: "Sein Name",
  nameExample: "Ebbing Hollow 13 Juni",
  makeDay: "Anlegen",
  bringTable: "Oder seine Tabelle bringen",
  bringTableHint: "Legen Sie eine Tagestabelle hier ab (CSV, aus jeder Tabellenkalkulation): eine Zeile für jeden Start.",
  chooseTable: "Tabelle wählen",
  tablesHere: "Tagestabellen in diesem Ordner",
  takeTable: "Als Starttag anlegen",
  someDay: "Starttag",
  otherDays: "Alle Starttage",
  launches,

  parts: { table: "Starts", run: "Messen", compare: "Bauarten verglichen", check: "Simulator geprüft" },
  waitsForRows: "Wartet auf den ersten Start in Teil 1.",
  waitsForTable: "Wartet, bis jede Zelle in Teil 1 stimmt.",
  waitsForRun: "Wartet auf den ersten gemessenen Flug in Teil 2.",
  changedElsewhere: "Diese Tabelle wurde in einem anderen Tab oder von einer Tabellenkalkulation geändert.",
  changedElsewhereAdvice: "Zu sehen ist, was jetzt dort steht. Ihre eigene Tabelle mit Ihrer letzten Änderung bleibt aufgehoben, bis Sie diese Meldung schließen.",
  changedImportAdvice: "Zu sehen ist, was jetzt dort steht. Sehen Sie es an und bringen Sie die Zeilen dann noch einmal.",
  takeOurs: "Meine zurückholen",

  tableLead: "Eine Zeile für jeden Start. Von derselben Stelle gefilmte Starts teilen sich ihre Marken.",
  tableCaption: (name) => `Die Starts von ${name}`,
  tableRegion: "Tabelle der Starts",
  rowNumber: "Nr.",
  rowActions: "Entfernen",
  columns: {
    clip: "Film", survey: "Marken", design: "Bauart", launch: "Start", mass_g: "Masse, g", diameter_mm: "Ø, mm",
    mass_std_g: "± Masse, g", diameter_std_mm: "± Ø, mm", tape_range_m: "Weite nach Maßband, m", tape_range_std_m: "± Maßband, m",
    skip: "Auslassen", note: "Notiz",
  },
  cellName: (column, row) => `${column}, Zeile ${row}`,
  launchNumber: (row) => `Zeile ${row}`,
  launchName: (design, launch) => `${design}, Start ${launch}`,
  noRows: "Noch kein Start. Fügen Sie die Filme dieses Ordners hinzu oder bringen Sie eine Tabelle.",
  addRow: "Zeile hinzufügen",
  addClips: (count) => (count === 1 ? "Den Film hinzufügen, der noch fehlt" : `Alle ${count} Filme hinzufügen, die noch fehlen`),
  addedClips: (count) => `${launches(count)} hinzugefügt`,
  remove: "Entfernen",
  removeRow: "Entfernen",
  removedRow: (row) => `Zeile ${row} entfernt`,
  chooseClip: "Film wählen",
  inTable: (clip) => `${clip} (in der Tabelle)`,
  notThere: (file) => `${file} (nicht in diesem Ordner)`,
  chooseMarks: "Marken wählen",
  ownMarks: "Eigene Marken dieses Films",
  ownMarksToMake: "Eigene Marken dieses Films (noch nicht gesetzt)",
  othersMarksToMake: "Marken eines anderen Films (noch nicht gesetzt)",
  makeMarks: "Setzen",
  marksOfOthers: "Auf einem anderen Film gesetzt",
  marksOf: (clip) => `Marken von ${clip}`,
  surveyFiles: "Vermessungsdateien",
  oneSurvey: "Dieselben Marken für alle Starts:",
  giveToEmpty: "Zeilen ohne Marken geben",
  giveToAll: "Allen Zeilen geben",
  gaveMarks: (rows) => `${launches(rows)} haben jetzt diese Marken`,
  skippedCount: (count) => `${count} ausgelassen`,
  fillIn: "fehlt",
  toFill: (count) => (count === 1 ? "1 Zelle auszufüllen" : `${count} Zellen auszufüllen`),
  toMend: (count) => (count === 1 ? "1 Zelle zu berichtigen" : `${count} Zellen zu berichtigen`),
  keysHint: "Tasten: Tab von Zelle zu Zelle, Pfeil auf und ab in einer Spalte, Eingabe für die nächste Zeile, Strg+D schreibt eine Zelle in alle Zeilen darunter, Strg+Z macht rückgängig. Aus einer Tabellenkalkulation kopierte Zellen lassen sich einfügen.",
  filledDown: (column, rows) => `${column} in ${rows} Zeilen darunter geschrieben`,
  pasted: (rows) => `${rows} Zeilen eingefügt`,
  columnsTitle: "Spalten",
  columnsHint: "Worin sich Ihre Bauarten unterscheiden, bekommt eine eigene Spalte: Flossen, Spitze, Länge. Danach lässt sich vergleichen.",
  ownColumn: "Neue Spalte",
  ownExample: "Flossen",
  ownName: "Name",
  addColumn: "Hinzufügen",
  addKnown: (column) => `„${column}“ hinzufügen`,
  removeKnown: (column) => `„${column}“ entfernen`,
  nameColumn: "Geben Sie der Spalte einen Namen.",
  columnTwice: (column) => `Eine Spalte „${column}“ gibt es schon.`,
  importTitle: "Zeilen aus einer Tabelle",
  importHint: "Legen Sie eine Tagestabelle hier ab (CSV, aus jeder Tabellenkalkulation). Filme und Marken werden in diesem Ordner gesucht.",
  importChoose: "Tabelle wählen",
  importAsk: (file, rows) => `Dieser Tag hat schon ${launches(rows)}. Was soll aus den Zeilen von ${file} werden?`,
  importAdd: "Darunter anfügen",
  importReplace: "An ihre Stelle setzen",
  importNot: "Lassen",
  imported: (rows) => `Die Tabelle hat jetzt ${launches(rows)}`,
  tableTooLarge: (file) => `${file} ist größer als 4 MB, zu groß für eine Tabelle hier.`,
  noTable: (file) => `${file} ist keine Tabelle. Filme bringt man unter „Filme“.`,
  did: {
    cell: (column) => `${column}`,
    addRow: "neue Zeile",
    addClips: (count) => `${launches(count)} hinzugefügt`,
    removeRow: (row) => `Zeile ${row} entfernt`,
    fillDown: (column) => `${column} nach unten geschrieben`,
    paste: "Zellen eingefügt",
    marksForAll: "dieselben Marken für mehrere Starts",
    addColumn: (column) => `Spalte „${column}“ hinzugefügt`,
    removeColumn: (column) => `Spalte „${column}“ entfernt`,
    renameColumn: (column) => `Spalte „${column}“ umbenannt`,
    import: "Zeilen aus einer Tabelle",
    takeOurs: "eigene Tabelle zurückgeholt",
  },

  runLead: "Misst jeden Film der Tabelle. Was schon gemessen ist und sich nicht geändert hat, wird nicht noch einmal gemessen.",
  run: "Den Tag messen",
  runAgain: "Geändertes noch einmal messen",
  goOn: "Weiter messen",
  running: "Der Tag wird gemessen",
  begins: "Die Tabelle wird gelesen …",
  waitsForTurn: "Wartet, bis eine andere Messung fertig ist …",
  comparing: "Die Bauarten werden verglichen …",
  cancel: "Abbrechen",
  cancelling: "Wird angehalten …",
  clipsDone: (done, total) => `${done} von ${total} Filmen`,
  fewSeconds: "noch wenige Sekunden",
  secondsLeft: (seconds) => `noch etwa ${seconds} s`,
  minutesLeft: (minutes) => `noch etwa ${minutes} min`,
  hoursLeft: (hours) => `noch etwa ${String(hours).replace(".", ",")} h`,
  waiting: "wartet",
  outcomes: { measured: "Gemessen", refused: "Abgelehnt", unreadable: "Nicht lesbar", skipped: "Ausgelassen", missing: "Noch nicht gemessen" },
  withCautions: "Mit Vorbehalt",
  counts: (count) => {
    const parts = [`${count.measured} gemessen${count.with_cautions > 0 ? ` (${count.with_cautions} mit Vorbehalt)` : ""}`];
    if (count.refused > 0) parts.push(`${count.refused} abgelehnt`);
    if (count.unreadable > 0) parts.push(`${count.unreadable} nicht lesbar`);
    if (count.missing > 0) parts.push(`${count.missing} noch nicht gemessen`);
    if (count.skipped > 0) parts.push(`${count.skipped} ausgelassen`);
    return `${launches(count.launches)}: ${parts.join(", ")}.`;
  },
  someMissing: "Das Messen wurde angehalten, bevor es fertig war. Starten Sie es wieder: Es misst nur, was noch fehlt.",
  notCurrent: "Die Tabelle wurde seither geändert. Messen Sie noch einmal: Nur was die Änderung betrifft, braucht Zeit.",
  withoutNumbers: "Ohne Zahlen",
  flight: "Flug",
  verdict: "Urteil",
  numbers: { launch_speed: "Startgeschwindigkeit", launch_angle: "Startwinkel", apogee: "Gipfelhöhe", range: "Weite", drag_coefficient: "Widerstandsbeiwert" },
  flightsRegion: "Gemessene Flüge",
  flightsCaption: "Jeder Flug (± ist die Unsicherheit zu 95 %; die Namen führen zu den Berichten, in neuem Tab)",
  dayPage: "Die Seite des Tages zum Sortieren und Drucken (neuer Tab, englisch)",
  dayCsv: "Dieselben Zahlen für eine Tabellenkalkulation",

  compareLead: "Kein Tritt ist wie der andere. Darum wird der Luftwiderstand jeder Rakete gemessen, und die Bauarten werden von einem Normstart aus verglichen: für alle derselbe Stoß.",
  groupBy: "Vergleichen nach",
  byDesign: "Bauart",
  nothingToCompare: "Es lässt sich nichts vergleichen: In Teil 2 steht, was aus den Flügen wurde.",
  bearInMind: "Was zu bedenken ist",
  meansRegion: "Mittelwerte der Bauarten",
  meansCaption: "Mittelwerte ± ihre Unsicherheit zu 95 %",
  and: (one, other) => `${one} und ${other}`,
  used: "Verwendete Flüge",
  usedOf: (used, launched) => `${used} von ${launched}`,
  quantities: {
    standard_range_m: "Weite beim Normstart", range_m: "Weite wie gestartet", drag_coefficient: "Widerstandsbeiwert",
    apogee_m: "Gipfelhöhe wie gestartet", launch_speed_m_s: "Startgeschwindigkeit",
  },
  pair: (key, unit, differ, facts) => {
    const inUnit = (text: string): string => (unit === "" ? text : unit === "°" ? `${text}°` : `${text} ${unit}`);
    const verbs: Record<string, string> = {
      standard_range_m: `${facts.more} fliegt beim gleichen Stoß ${inUnit(facts.size)} weiter`,
      drag_coefficient: `${facts.more} hat einen um ${facts.size} höheren Widerstandsbeiwert`,
    };
    const does = verbs[key] ?? `${facts.more} hat ${inUnit(facts.size)} mehr`;
    const interval = `95 %: ${facts.low} bis ${inUnit(facts.high)}`;
    if (differ) return `${does} als ${facts.less} (${interval}).`;
    const launchesMore = facts.more_launches_each === null ? ""
      : ` ${facts.more_launches_each > 100 ? "Mehr als 100" : `Etwa ${facts.more_launches_each}`} weitere Starts von beiden würden einen Unterschied von ${inUnit(facts.worth)} zeigen.`;
    return `${facts.more} und ${facts.less} lassen sich noch nicht unterscheiden: ${does} als ${facts.less} (${interval}), was Zufall sein kann.${launchesMore}`;
  },
  headline: (label, ranking, alike, pairs) => {
    const told = alike.length === 0 ? "Jedes Paar unterscheidet sich um mehr als Zufall."
      : alike.length === pairs ? "Noch ist kein Unterschied zwischen den Bauarten zu erkennen."
        : alike.length > 2 ? "Noch nicht jedes Paar lässt sich unterscheiden." : `${alike.join(" und auch ")} lassen sich noch nicht unterscheiden.`;
    return `${label}: ${ranking}. ${told}`;
  },
  usedSentence: (used, launched) => `${used} von ${launched} Starts verwendet.`,
  checkHeadline: (agree, disagree, unsure) => {
    const flights = (count: number): string => (count === 1 ? "1 Flug" : `${count} Flügen`);
    const parts = [agree > 0 ? `stimmt bei ${flights(agree)} überein` : "", disagree > 0 ? `weicht bei ${flights(disagree)} ab` : "",
      unsure > 0 ? `ist bei ${flights(unsure)} zu unsicher für ein Urteil` : ""].filter((part) => part !== "");
    return `Die Bahn des Simulators ${parts.join(", ")}.`.replace(/bei 1 Flug/g, "bei einem Flug");
  },
  leftOut: "Weggelassen, und warum",
  comparisonPage: "Der ganze Vergleich mit seinen Bildern, zum Drucken (neuer Tab, englisch)",

  checkLead: "Wo weichen ein Flugsimulator und der Film weiter voneinander ab, als die Unsicherheiten erlauben?",
  simulatorDrop: "Die Tabelle des Simulators",
  simulatorHint: "Legen Sie sie hier ab (CSV): Zeit, Entfernung und Höhe, mit Einheiten in den Namen der Spalten.",
  chooseSimulator: "Tabelle wählen",
  checkAgain: "So noch einmal prüfen",
  checking: "Wird mit dem Film verglichen …",
  checkFlights: "Sie ist der Flug von",
  allFlights: (count) => `allen ${count} gemessenen Flügen`,
  oneDesign: "Eine Bauart",
  oneFlight: "Ein Start",
  flightsOf: (design, count) => `${design} (${count === 1 ? "1 Flug" : `${count} Flüge`})`,
  asMeasured: "Gestartet mit der gemessenen Geschwindigkeit und dem Winkel eben dieses Flugs",
  asMeasuredHint: "Dann werden diese beiden nicht geprüft, und ihre Unsicherheit zählt als die des Simulators.",
  readingIt: "Wie sie zu lesen ist",
  align: "Ihre Uhr und ihr Ursprung werden auf die des Films gelegt nach",
  alignments: { launch: "dem Start", apogee: "dem Gipfel", fit: "der besten Übereinstimmung", none: "nichts: wie sie stehen" },
  whichColumns: "Welche Spalte was ist",
  whichColumnsHint: "Nur wo die Namen der Spalten es nicht sagen.",
  columnsTaken: "So wurden die Spalten verstanden:",
  roles: {
    time: "Zeit", x: "Entfernung", side: "seitwärts", y: "Höhe", vx: "Geschwindigkeit längs", vside: "Geschwindigkeit seitwärts", vy: "Geschwindigkeit aufwärts", speed: "Geschwindigkeit",
    x_std: "± Entfernung", side_std: "± seitwärts", y_std: "± Höhe", vx_std: "± Geschwindigkeit längs", vside_std: "± Geschwindigkeit seitwärts", vy_std: "± Geschwindigkeit aufwärts", speed_std: "± Geschwindigkeit",
  },
  unitAssumed: "(Einheit angenommen)",
  agreements: { agrees: "stimmt überein", disagrees: "weicht ab", "too-uncertain": "zu unsicher für ein Urteil" },
  whatIsWrong: "Was der Film dazu sagt",
  checkedRegion: "Geprüfte Flüge",
  checkedCaption: "Flug für Flug",
  byQuantity: "Größe für Größe",
  notCompared: "Nicht verglichen",
  checkPage: "Die ganze Prüfung mit ihren Bildern, zum Drucken (neuer Tab, englisch)",
};
