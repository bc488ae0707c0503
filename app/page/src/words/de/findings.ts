// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import type { findings as pattern } from "../en/findings.ts";
import type { Like } from "../index.ts";
import { comparing, planning, validating } from "./findings_days.ts";
import { input, program } from "./findings_input.ts";

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

export const findings: Like<typeof pattern> = {
  note: "Hinweis",
  caution: "Vorbehalt",
  refusal: "Abgelehnt",
  programSays: "Das Programm sagt dazu auf Englisch:",
  codes: { ...measuring, ...planning, ...comparing, ...validating, ...calibrating, ...looking, ...input, ...program } satisfies Codes,
};
