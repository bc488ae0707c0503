// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { phrases as pattern } from "../en/phrases.ts";
import type { Like } from "../index.ts";

const sources = {
  "path noise": "Streuung der Bahn",
  "baseline length": "bekannte Länge",
  "baseline depth": "Tiefe der bekannten Länge",
  "mark placing": "Setzen der Marken",
  "level and plumb": "Waage und Lot",
  "launch mark": "Marke des Startpunkts",
  "known points": "bekannte Punkte",
  "lens view angle": "Bildwinkel des Objektivs",
  "lens distortion": "Verzeichnung des Objektivs",
  "camera distance": "Abstand der Kamera",
  "yaw": "Drehung der Kamera",
  "tilt": "Neigung der Kamera",
  "roll": "Rollen der Kamera",
  "shutter readout": "Auslesezeit des Sensors",
  "azimuth": "Richtung aus der Ebene",
  "wind": "Wind",
  "usual drag": "üblicher Luftwiderstand",
  "drag change": "Wechsel des Luftwiderstands",
  "body middle": "Mitte des Rumpfs",
  "light and shade": "Licht und Schatten",
  "landing level": "Landehöhe",
  "mass": "Masse",
  "diameter": "Durchmesser",
  "air": "Luft",
  "all others": "alle anderen",
};

const advice = {
  "a short exposure, a higher frame rate, and a rocket that stands out from what is behind it":
    "kurze Belichtung, höhere Bildrate und eine Rakete, die sich vom Hintergrund abhebt",
  "tape the baseline to 2 mm, with the tape pulled straight":
    "die bekannte Länge auf 2 mm messen, mit straff gezogenem Maßband",
  "put the baseline into the flight plane, or measure how far in front of it it stands":
    "die bekannte Länge in die Flugebene legen, oder messen, wie weit sie davor liegt",
  "a longer baseline, and its ends marked in the magnified picture":
    "eine größere bekannte Länge, ihre Enden im vergrößerten Bild gesetzt",
  "level the baseline's ends with a water level, or hang a plumb line into the picture":
    "die Enden der bekannten Länge mit einer Schlauchwaage ausrichten, oder ein Lot ins Bild hängen",
  "mark the tube's mouth in the magnified picture": "die Mündung des Rohrs im vergrößerten Bild setzen",
  "measure the known places to 1 cm, as far apart as the picture allows":
    "die bekannten Stellen auf 1 cm vermessen, so weit auseinander, wie das Bild erlaubt",
  "calibrate the lens once with a printed chessboard":
    "das Objektiv einmal mit einem gedruckten Schachbrett kalibrieren",
  "calibrate the lens once with a printed chessboard, or keep the flight off the picture's edges":
    "das Objektiv einmal mit einem gedruckten Schachbrett kalibrieren, oder den Flug von den Bildrändern fernhalten",
  "measure from the phone to the flight plane with a tape": "mit dem Maßband vom Telefon zur Flugebene messen",
  "square the phone up with the baseline, or stand further back":
    "das Telefon rechtwinklig zur bekannten Länge stellen, oder weiter zurückgehen",
  "read the phone's own level: its tilt to half a degree":
    "die Wasserwaage des Telefons ablesen: seine Neigung auf ein halbes Grad",
  "level the phone, or mark something plumb in the picture":
    "das Telefon waagrecht stellen, oder etwas Lotrechtes im Bild setzen",
  "measure the phone's readout once under a flickering lamp":
    "die Auslesezeit des Telefons einmal unter einer flimmernden Lampe messen",
  "aim the tube along the baseline, and stand further back":
    "das Rohr längs der bekannten Länge richten und weiter zurückgehen",
  "measure the wind along the flight, or wait for calm air":
    "den Wind in Flugrichtung messen, oder Windstille abwarten",
  "film the whole arc, with the apogee in the picture": "den ganzen Bogen filmen, mit dem höchsten Punkt im Bild",
  "find out from which moment on the rocket flies askew, and mend it":
    "herausfinden, ab wann die Rakete schief fliegt, und das beheben",
  "a rocket that shows evenly from nose to fins": "eine Rakete, die von Spitze bis Flossen gleich gut zu sehen ist",
  "the sun behind the camera, or an even sky": "die Sonne im Rücken der Kamera, oder ein gleichmäßiger Himmel",
  "measure the tube's mouth above the landing ground": "die Höhe der Rohrmündung über dem Landeplatz messen",
  "weigh the rocket to 0.05 g": "die Rakete auf 0,05 g wiegen",
  "measure the body across with a calliper, to 0.1 mm": "den Rumpf mit einem Messschieber auf 0,1 mm messen",
  "write down the air's temperature and the pressure at the site":
    "Lufttemperatur und Luftdruck am Ort aufschreiben",
};

const assumed = {
  "scale": "Maßstab",
  "what falls, falls with gravity": "was fällt, fällt mit der Schwerkraft",
  "launch point": "Startpunkt",
  "where the rocket was first seen in free flight": "wo die Rakete zuerst frei fliegend zu sehen war",
  "launch point above the landing level": "Startpunkt über der Landehöhe",
  "flight out of the plane": "Flug aus der Ebene heraus",
  "wind along the flight": "Wind in Flugrichtung",
  "air temperature": "Lufttemperatur",
  "air pressure": "Luftdruck",
  "humidity": "Luftfeuchte",
  "elevation": "Höhe über dem Meer",
  "latitude": "geografische Breite",
  "camera yaw": "Drehung der Kamera",
  "camera tilt": "Neigung der Kamera",
  "camera roll": "Rollen der Kamera",
  "baseline length uncertainty": "Unsicherheit der bekannten Länge",
  "baseline depth uncertainty": "Unsicherheit ihrer Tiefe",
  // pieces of the values beside them
  "across the longer side": "über die längere Seite",
  "none: k1, k2": "keine: k1, k2",
  "% of the length": "% der Länge",
  "m towards or away from the camera": "m zur Kamera hin oder von ihr weg",
};

const labels = {
  "Launch speed": "Startgeschwindigkeit",
  "Launch angle": "Startwinkel",
  "Apogee": "Gipfelhöhe",
  "Range": "Weite",
  "Drag coefficient": "Widerstandsbeiwert",
  "Drag per metre": "Luftwiderstand je Meter",
  "Terminal speed": "Endfallgeschwindigkeit",
  "Flight time": "Flugzeit",
  "Time to apogee": "Zeit bis zum Gipfel",
  "Impact speed": "Aufprallgeschwindigkeit",
  "Angle off the path": "Winkel zur Bahn",
  "Launch energy": "Startenergie",
  "Measured": "Gemessen",
  "Measured, with cautions": "Gemessen, mit Vorbehalten",
  "Not measured": "Nicht gemessen",
};

const plots = {
  "Height against distance": "Höhe über Entfernung",
  "distance from the launch point": "Entfernung vom Startpunkt",
  "height": "Höhe",
  "Speed against time": "Geschwindigkeit über der Zeit",
  "time since launch": "Zeit seit dem Start",
  "speed": "Geschwindigkeit",
  "What the fit leaves over": "Was die Anpassung übrig lässt",
  "seen minus fitted": "Abweichung",
  "std": "Std.-Abw.",
  "Body against path": "Rumpf gegen Bahn",
  "angle off the path": "Winkel zur Bahn",
  "seen": "gesehen",
  "along the path": "längs der Bahn",
  "across it": "quer dazu",
  "measured": "gemessen",
};

const safety = {
  "Everybody near the launch wears eye protection.": "Alle in der Nähe des Starts tragen Augenschutz.",
  "Launch only over a clear range with nobody down range.":
    "Nur über freiem Gelände starten, mit niemandem in Flugrichtung.",
  "Nobody ever leans or looks over the tube.": "Niemand beugt sich je über das Rohr oder schaut hinein.",
  "An adult is in charge and gives the word for every launch.":
    "Eine erwachsene Person leitet und gibt jeden Start frei.",
  "Local rules and whoever runs the site decide; these numbers do not replace them.":
    "Es gelten die Regeln am Ort und das Wort derer, denen der Platz untersteht; diese Zahlen ersetzen sie nicht.",
};

export const phrases: Like<typeof pattern> = { ...sources, ...advice, ...assumed, ...labels, ...plots, ...safety };
