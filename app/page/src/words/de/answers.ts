// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { answers as pattern, Facts } from "../en/answers.ts";
import type { Like } from "../index.ts";

const comma = (text: string | undefined): string => (text ?? "?").replace(/(\d)\.(\d)/g, "$1,$2");

function straightness(facts: Facts): string {
  if (facts.turned_deg) return `Sie überschlug sich im Flug: Ihr Rumpf lag bis zu ${comma(facts.turned_deg)}° neben der Bahn.`;
  if (facts.reason !== undefined) return `Wie gerade sie flog, lässt sich nicht sagen.${reasonOf(facts.reason)}`;
  const range = `im Mittel ${comma(facts.rms_deg)}° neben die Bahn, höchstens ${comma(facts.most_deg)}°`;
  if (facts.wobble_hz) return `${wobble(facts)} Ihr Rumpf zeigte ${range}.`;
  if (facts.straight) return `Sie flog gerade: Ihr Rumpf zeigte ${range}.`;
  return `Ihr Rumpf zeigte ${range}, ohne stetes Pendeln.`;
}

function wobble(facts: Facts): string {
  const said = `Sie pendelte etwa ${comma(facts.wobble_hz)}-mal je Sekunde, anfangs um ${comma(facts.wobble_deg)}°`;
  if (facts.half_s) return `${said}, nach ${facts.roughly ? "ungefähr " : ""}${comma(facts.half_s)} s halb so weit.`;
  return facts.grows === "yes" ? `${said}, mit der Zeit stärker.` : `${said}, ohne klar abzuklingen.`;
}

const reasons: Record<string, string> = {
  "The track gives no lengths of the body.": "Die Spur enthält keine Längen des Rumpfs.",
  "The body turned over, so that its angle to the path is no wobble.":
    "Der Rumpf überschlug sich; sein Winkel zur Bahn ist also kein Pendeln.",
  "No steady wobble stands out of the noise of the axes.": "Kein stetes Pendeln hebt sich vom Rauschen der Achsen ab.",
};

function reasonOf(english: string): string {
  if (reasons[english]) return ` ${reasons[english]}`;
  const short = /^The body is at least (\d+) pixels long on (\d+) frames only, of (\d+) needed; it is (\d+)/.exec(english);
  if (short) {
    return ` Der Rumpf ist nur auf ${short[2]} Bildern mindestens ${short[1]} Pixel lang, nötig sind ${short[3]}; ` +
      `auf den meisten ist er ${short[4]} Pixel lang.`;
  }
  const noisy = /^The axis scatters by (\d+) degrees/.exec(english);
  return noisy ? ` Die Achse springt von Bild zu Bild um ${noisy[1]}°.` : "";
}

const side = (direction: string | undefined): string => (direction === "left" ? "links" : "rechts");

const sentences: Record<string, (facts: Facts) => string> = {
  launch_speed_m_s: (f) => `Beim Verlassen des Rohrs flog sie mit etwa ${comma(f.about)} m/s, das sind ${comma(f.km_h)} km/h.`,
  launch_angle_deg: (f) => `Sie flog ${comma(f.degrees)}° über der Waagrechten ab, nach ${side(f.direction)}.`,
  apogee_m: (f) => `Ihr höchster Punkt lag ${comma(f.about)} m über dem Startpunkt. ` +
    (f.seen === "yes" ? "Der Film zeigt ihn." : "Er wurde berechnet, nicht gesehen."),
  range_m: (f) => `Sie kam ${comma(f.about)} m vom Startpunkt herunter, am Boden gemessen. ` +
    (f.seen === "yes" ? "Der Film zeigt die Landung." : "Die Landung wurde berechnet, nicht gesehen."),
  drag_coefficient: () => "Wie sehr ihre Form die Luft fängt: Widerstandskraft = diese Zahl × Stirnfläche × ½ × Luftdichte × Geschwindigkeit².",
  drag_per_m: (f) => f.times
    ? `Wie stark die Luft diese Rakete bremst. Beim Start bremste sie etwa ${comma(f.times)}-mal so stark, wie die Schwerkraft zieht.`
    : "Wie stark die Luft diese Rakete bremst: Ihre Verzögerung ist diese Zahl mal Geschwindigkeit im Quadrat.",
  terminal_speed_m_s: () => "Hier hält der Luftwiderstand dem Gewicht die Waage: Aus großer Höhe fallen gelassen, würde sie so schnell.",
  flight_time_s: () => "Vom Startpunkt bis zum Erreichen der Landehöhe.",
  time_to_apogee_s: () => "Vom Startpunkt bis zum höchsten Punkt; mit Luftwiderstand dauert der Weg hinunter länger.",
  impact_speed_m_s: (f) => `Ihre Geschwindigkeit beim Erreichen der Landehöhe, ${comma(f.km_h)} km/h.`,
  rms_angle_deg: straightness,
  launch_energy_j: (f) => `Der Stoß gab der Rakete bis zum Verlassen des Rohrs etwa ${comma(f.about)} J Bewegungsenergie.`,
};

const missing: Record<string, string> = {
  "size-and-mass": "Dazu braucht es Masse und Durchmesser der Rakete; beides steht in Teil 2 noch nicht.",
  mass: "Dazu braucht es die Masse der Rakete, die in Teil 2 noch nicht steht.",
  clip: "Dieser Film zeigt dafür nicht genug vom Flug.",
};

const verdictSentences: Record<string, (positions: number) => string> = {
  accepted: (positions) => `Das Flugmodell passt zu allem, was zu sehen war (${positions} Stellen), und keine Prüfung weckte Zweifel.`,
  caution: () => "Die Zahlen gibt es, aber lesen Sie die Vorbehalte unten, bevor Sie sich auf sie verlassen.",
  refused: () => "Dieser Film kann keine Zahlen geben, die Vertrauen verdienen. Unten steht, warum, und was zu tun ist.",
};

const curveLine = (percent: number): string =>
  ` Die Linie ist durchgezogen, wo die Rakete zu sehen war (${percent} % der Zeit), und gestrichelt, wo sie berechnet ist.`;

const plotDescriptions: Record<string, (percent: number, positions: number) => string> = {
  "plot-height": (percent) => `Der Flug von der Seite, beide Achsen in Metern und im gleichen Maßstab.${curveLine(percent)}`,
  "plot-speed": (percent) => `Geschwindigkeit längs der Bahn, mit ihrem Band von 95 %.${curveLine(percent)}`,
  "plot-residuals": (_percent, positions) =>
    `Abweichungen von ${positions} Stellen in Standardabweichungen: Ringe längs der Bahn, Quadrate quer dazu. Passt alles, ` +
    "streuen sie ohne Muster um null, und mindestens 95 von 100 liegen zwischen den gestrichelten Linien.",
  "plot-angle": (_percent, positions) =>
    `Wie weit der Rumpf auf ${positions} Bildern neben die Bahn zeigte (Ringe), die Bewegung darin, und das Band, in dem ` +
    "95 von 100 einzelnen Bildern liegen.",
};

export const answers: Like<typeof pattern> = {
  decimalMark: ",",
  verdictSentence: (verdict, positions, english) => verdictSentences[verdict]?.(positions) ?? english,
  sentence: (key, facts, english) => {
    if (facts.missing) return missing[facts.missing] ?? (facts.missing === "straightness" ? straightness(facts) : english);
    return sentences[key]?.(facts) ?? english;
  },
  straightness: (facts) => straightness(facts),
  plotDescription: (id, percent, positions, english) => plotDescriptions[id]?.(percent, positions) ?? english,

  outdated: "Seit dieser Messung wurde etwas geändert.",
  outdatedAdvice: "Die Zahlen unten sind die von vor der Änderung.",
  measureAgain: "Noch einmal messen",
  numbers: "Der Flug in Zahlen",
  range95: (low, high) => `(95 %: ${low} bis ${high})`,
  notKnown: "nicht bekannt",
  meaning: "± ist die Unsicherheit für 95 %: Immer wieder so gemessen, enthielten etwa 95 von 100 solcher Bereiche den wahren " +
    "Wert. Startwerte gelten an der Mündung des Rohrs.",
  findings: "Was auffiel",
  picture: "Der Flug in einem Bild",
  pictureAlt: (positions, direction) =>
    `Der Flug, wie der Film ihn sieht, mit eingezeichneter Bahn: ${positions} Stellen der Rakete, Flug nach ${direction}.`,
  left: "links",
  right: "rechts",
  pictureSaid: "Durchgezogen: gesehen. Gestrichelt: berechnet. Die Skala ist die Höhe über dem Startpunkt. Die Beschriftung im Bild ist englisch.",
  pictureGone: "Das Bild ließ sich nicht laden.",
  plots: "Der Flug in Kurven",
  plotHint: "Zeigen Sie auf die Kurve, oder wählen Sie sie an und nehmen Sie die Pfeiltasten, um Werte abzulesen.",
  plotsGone: "Das Programm, das Kurven zeichnet, ließ sich nicht laden. Der Bericht enthält sie auch.",
  curve: (at) =>
    `bei ${at.x} ${at.xUnit}: ${at.label} ${at.y} ± ${at.half} ${at.yUnit} (95 %), ${at.seen ? "gesehen" : "berechnet"}`,
  points: (x, xUnit, values) => `bei ${x} ${xUnit}: ${values} Standardabweichungen`,
  straight: "Wie gerade sie flog",
  budget: "Woher die Unsicherheit kommt",
  budgetSaid: "Das Größte zuerst, als eine Standardunsicherheit. Wer eine schärfere Zahl will, verbessert, was oben steht.",
  budgetOf: "Die Unsicherheit von",
  source: "Quelle",
  std: (unit) => (unit === "" ? "Std.-Unsicherheit" : `Std.-Unsicherheit, ${unit}`),
  share: "Anteil",
  lessThanOnePercent: "< 1 %",
  percent: (value) => `${value} %`,
  next: "Was das nächste Mal besser geht",
  nextSaid: "Was die Zahlen schärfer machen würde, das Beste zuerst:",
  nextShare: (quantity, percent) => `macht ${percent} der Unsicherheit aus bei: ${quantity}`,
  nextNothing: "Nichts ragt heraus: Kein Einzelnes macht viel von der Unsicherheit aus.",
  assumed: "Was angenommen wurde, weil niemand es sagte",
  assumedNothing: "Nichts musste angenommen werden.",
  what: "was",
  value: "Wert",
  assumedSaid: "± ist hier eine Standardunsicherheit. Was Sie in Teil 2 selbst angeben, tritt an ihre Stelle.",
  safety: "Vor dem nächsten Start",
  take: "Drucken und mitnehmen",
  print: "Bericht drucken",
  printing: "Der Bericht wird zum Drucken vorbereitet …",
  printOpened: "Der Bericht ist in einem neuen Tab offen: Drucken Sie ihn von dort.",
  printBlocked: "Der Browser ließ den Bericht nicht öffnen. Öffnen Sie ihn mit dem Link unten, und drucken Sie ihn von dort.",
  printSaid: "Zwei Blätter: was gefunden wurde, und worauf es beruht. Der Bericht ist auf Englisch. Schalten Sie für den besten Druck Kopf- und Fußzeilen des Browsers aus.",
  noReport: "Von einem Flug, der nicht gemessen wurde, gibt es keinen Bericht.",
  open: "Bericht öffnen",
  files: "Dateien",
  fileKind: {
    report: "Bericht, eine Seite, die sonst nichts braucht (englisch)",
    result: "Ergebnis, alle Zahlen für Programme",
    track: "Spur, eine Zeile für jedes Bild, für Tabellenkalkulationen",
    survey: "Vermessung, die Marken und Längen aus Teil 2",
    picture: "Bild des Flugs",
    overlay: "Film mit eingezeichneter Bahn",
    motion: "Wie sich die Kamera bewegte",
  },
  download: (name) => `${name} herunterladen`,
  bytes: (size) => `(${size})`,
  overlayMake: "Film mit eingezeichneter Bahn machen",
  overlaySaid: "Das dauert etwa so lange wie der Film. Er enthält keinen Ton und keinen Ort.",
  overlayRunning: "Der Film wird gemacht",
  overlayFailed: "Der Film ließ sich nicht machen.",
  overlayCancelled: "Das Machen des Films wurde abgebrochen.",
  overlayDone: "Der Film liegt unten bereit.",
};
