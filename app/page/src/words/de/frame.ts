// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { frame as pattern } from "../en/frame.ts";
import type { Like } from "../index.ts";

const shown = (value: number): string => (Math.round(value * 10) / 10).toFixed(1).replace(".", ",");

export const frame: Like<typeof pattern> = {
  picture: (name, at) => `Bild ${at} von ${name}`,
  slider: "Bild",
  stepping: "Durch den Film gehen",
  at: (at, last, time) => `Bild ${at} von ${last} · ${time} s`,
  back: (by) => (by === 1 ? "Ein Bild zurück" : `${by} Bilder zurück`),
  on: (by) => (by === 1 ? "Ein Bild weiter" : `${by} Bilder weiter`),
  unit: (by) => (by === 1 ? "Bild" : "Bilder"),
  lens: "Lupe: die Pixel um die Stelle, achtmal so groß",
  lensHint: "Klicken oder ziehen Sie hier, um die Marke um Teile eines Pixels zu versetzen.",
  mark: "Marke",
  place: (x, y) => `${shown(x)}; ${shown(y)} px`,
  xy: (x, y) => `${shown(x)}; ${shown(y)}`,
  ask: (what) => `Klicken Sie im Bild auf: ${what}. Oder bewegen Sie das Kreuz mit den Pfeiltasten (Umschalt 10 px, Alt 0,1 px) und drücken Sie die Eingabetaste.`,
  aim: (what) => `Kreuz für ${what}: Pfeiltasten bewegen es, die Eingabetaste setzt die Marke, Escape bricht ab`,
  atCross: "Am Kreuz setzen",
  play: "Langsam abspielen",
  stop: "Anhalten",
  giveUp: "Jetzt nicht",
  keys: "Pfeiltasten versetzen die gewählte Marke um 1 px, mit Umschalt 10 px, mit Alt 0,1 px. Die Tasten , und . gehen durch den Film.",
};
