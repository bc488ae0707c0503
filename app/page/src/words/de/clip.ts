// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { clip as pattern } from "../en/clip.ts";
import type { Like } from "../index.ts";

export const clip: Like<typeof pattern> = {
  lead: "Wählen Sie den Film eines Starts. Seine Marken und Ergebnisse werden daneben aufbewahrt.",
  inFolder: "Filme in diesem Ordner",
  none: "In diesem Ordner ist noch kein Film. Holen Sie einen vom Handy.",
  find: "Suchen",
  found: (left, all) => `${left} von ${all} Filmen`,
  begun: "begonnen",
  verdicts: { accepted: "gemessen", caution: "gemessen, mit Vorsicht", refused: "abgelehnt" },
  megabytes: (size) => `${size} MB`,
  bring: "Einen Film vom Handy holen",
  drop: "Ziehen Sie ihn irgendwo auf diese Seite, oder",
  choose: "Datei wählen",
  privacy: "Er wird in diesen Ordner kopiert und bleibt auf diesem Rechner.",
  sending: (name) => `${name} wird kopiert`,
  sent: (name, percent) => `${name} wird kopiert: ${percent} %`,
  looking: (name) => `${name} wird angesehen`,
  stop: "Anhalten",
  stopped: (name) => `${name} wurde nicht kopiert: Sie haben es angehalten.`,
  tooLarge: (name, limit) => `${name} ist größer als ${limit} GB; mehr wird nicht angenommen.`,
  tooLargeAdvice: "Schneiden Sie den Film am Handy auf den Flug zu, oder legen Sie die Datei selbst in den Ordner: Dann steht sie in der Liste.",
  duration: "Dauer",
  seconds: (text) => `${text} s`,
  frames: "Bilder",
  rate: "Rate",
  perSecond: (text) => `${text} Bilder/s`,
  slowMotion: (stored, filmed) => `gefilmt mit ${filmed} Bildern/s, gespeichert mit ${stored} Bildern/s`,
  size: "Größe",
  turned: (degrees) => `um ${degrees}° gedreht`,
  steady: "Die Zeitstempel sind gleichmäßig, und auch sonst ist nichts auszusetzen.",
  other: "Einen anderen Film wählen",
};
