// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the codes of files, requests and the program itself are called and mean (findings.ts).

export const input = {
  "cannot-read": {
    title: "The file cannot be read",
    told: "Is it still there, and may it be read? Choose it again in part 1.",
  },
  "empty-file": {
    title: "The file is empty",
    told: "Copy the clip from the phone again.",
  },
  "not-a-video": {
    title: "This is no clip",
    told: "Choose a film as the phone recorded it (mp4, mov ...).",
  },
  "damaged-clip": {
    title: "The clip is damaged",
    told: "It breaks off or cannot be decoded. Copy it from the phone again.",
  },
  "bad-json": {
    title: "The file is not proper JSON",
    told: "The message names the line. Mend it, or make the file anew.",
  },
  "bad-csv": {
    title: "The table is not a proper CSV file",
    told: "The message names the line. Save it as CSV from a spreadsheet.",
  },
  "bad-format": {
    title: "The file is of another kind",
    told: "It is not what was asked for here. Choose the right file.",
  },
  "bad-version": {
    title: "The file has a version that is not known",
    told: "It was written by another version of the program. Make it anew with this one.",
  },
  "unknown-key": {
    title: "The file holds an entry that is not known",
    told: "The message names it. Check its spelling.",
  },
  "missing-key": {
    title: "The file lacks an entry",
    told: "The message names it. Add it.",
  },
  "unknown-column": {
    title: "The table has a column that is not known",
    told: "The message names it. Check its spelling.",
  },
  "missing-column": {
    title: "The table lacks a column",
    told: "The message names it. Add it.",
  },
  "empty-table": {
    title: "The table is empty",
    told: "It needs at least one row below its header.",
  },
  "bad-value": {
    title: "A value that cannot be",
    told: "The message names it and what is allowed. Correct it.",
  },
  "bad-quantity": {
    title: "A quantity that cannot be read",
    told: "Write a number and a unit, such as “10 m” or “8.2 g +- 0.1 g”.",
  },
  "bad-table": {
    title: "Cells of the table cannot be used",
    told: "Each is named with its row, its column and what is allowed. Correct them.",
  },
  "in-use": {
    title: "Another run works in this folder",
    told: "Wait until it has ended.",
  },
  "not-a-day": {
    title: "There is no measured day here",
    told: "Run the day first.",
  },
  "no-such-variable": {
    title: "The table has no such column",
    told: "Choose one of its columns.",
  },
  "shard-missing": {
    title: "A part of the day is missing",
    told: "Measure it, or copy it here.",
  },
  "shard-twice": {
    title: "A part of the day is there twice",
    told: "Leave one of them out.",
  },
  "shard-incomplete": {
    title: "A part of the day is not complete",
    told: "Let it run to its end.",
  },
  "shard-foreign": {
    title: "A part belongs to another day",
    told: "Leave it out.",
  },
  "not-a-picture": {
    title: "This is neither a photograph nor a clip",
    told: "Choose another file.",
  },
  "damaged-picture": {
    title: "The picture is damaged",
    told: "Copy it from the phone again.",
  },
  "mark-outside-picture": {
    title: "A mark lies outside the picture",
    told: "Place it again in part 2.",
  },
  "size-mismatch": {
    title: "The sizes do not match",
    told: "The marks belong to a picture of another size. Use those of this clip, or place them again in part 2.",
  },
};

// Errors of the program and its server that a user of the page can meet.
export const program = {
  "not-let-in": {
    title: "This browser has not been let in",
    told: "Open the address that the program printed when it was started.",
  },
  "foreign-host": {
    title: "The page was asked for by a name that is not its own",
    told: "Open the address that the program printed when it was started.",
  },
  "foreign-origin": {
    title: "Another page tried to change something",
    told: "Only Loftline’s own page may. Close the other one, and open the address that the program printed.",
  },
  "too-large": {
    title: "The file is too large",
    told: "Cut the clip to the flight, some seconds before and after it, or put it into the folder that the program works in.",
  },
  "too-long": {
    title: "That address is too long",
    told: "Go back to the list of clips.",
  },
  "no-such-clip": {
    title: "This clip is no longer there",
    told: "It was moved or renamed. Choose it again in the list of clips.",
  },
  "no-such-frame": {
    title: "The clip has no such frame",
    told: "Step to another one.",
  },
  "no-such-point": {
    title: "A correction by hand has no point to hold on to",
    told: "The track is another one now. Take that correction back in part 3.",
  },
  "not-measured": {
    title: "This clip has not been measured yet",
    told: "Measure it in part 3.",
  },
  "not-ready": {
    title: "The sheet cannot be measured yet",
    told: "Part 2 says what is missing.",
  },
  "not-found": {
    title: "There is nothing at this address",
    told: "Go back to the list of clips.",
  },
  "no-file": {
    title: "There is no such file",
    told: "Measure first; then it is made.",
  },
  "cannot-write": {
    title: "A file could not be written",
    told: "Is the disk full, or the folder closed to writing?",
  },
  "cannot-draw": {
    title: "The picture could not be drawn",
    told: "Measure again. If that does not help, start the program anew.",
  },
  "cannot-encode": {
    title: "The picture or clip could not be written",
    told: "Measure again. If that does not help, start the program anew.",
  },
  "no-clip": {
    title: "The clip is not there",
    told: "It was moved or renamed. Put it back, or choose it again in part 1.",
  },
  "bad-name": {
    title: "That name cannot be used",
    told: "Letters, digits, blanks, dots, dashes; no folders.",
  },
  "day-exists": {
    title: "There is a day of that name already",
    told: "Choose another name, or open the one that is there.",
  },
  "no-day": {
    title: "There is no day of that name",
    told: "Go back to the list of days.",
  },
  "outside-folder": {
    title: "That file lies outside the folder",
    told: "Only files in the folder that the program works in can be used.",
  },
  "bad-columns": {
    title: "The columns cannot be told apart",
    told: "Say which column is which.",
  },
  "changed-elsewhere": {
    title: "This was changed in another tab or window",
    told: "Its newer state is shown now: go on from there.",
  },
  "cut-short": {
    title: "The file did not arrive whole",
    told: "Try again.",
  },
  "cancelled": {
    title: "It was stopped",
    told: "Start it again when you want it.",
  },
  "internal": {
    title: "The program made a mistake",
    told: "Try again. If it happens again, start the program anew and tell its makers.",
  },
  "bad-method": {
    title: "That cannot be done here",
    told: "Load the page anew.",
  },
  "bad-body": {
    title: "That was sent in a form that is not taken here",
    told: "Load the page anew.",
  },
  "no-length": {
    title: "What was sent does not say how long it is",
    told: "Load the page anew.",
  },
  "bad-range": {
    title: "That part of the file cannot be had",
    told: "Load the page anew.",
  },
  "old-result": {
    title: "This result was written by an older version",
    told: "Measure the clip again.",
  },
  "impossible-launch": {
    title: "No launch can be like that",
    told: "Check speed and angle.",
  },
  "never-lands": {
    title: "That flight never lands",
    told: "Check the launch and the landing level.",
  },
  "launch-outside-table": {
    title: "The launch lies outside the simulator’s table",
    told: "Check its times.",
  },
  "launch-and-alignment": {
    title: "Two things are asked for that exclude each other",
    told: "Leave one of them out.",
  },
  "simulator-never-flies": {
    title: "Nothing flies in the simulator’s table",
    told: "Check its columns.",
  },
  "simulator-without-apogee": {
    title: "The simulator’s table has no highest point",
    told: "Let it go on for longer.",
  },
  "time-not-rising": {
    title: "The table’s times do not rise",
    told: "Sort its rows by time.",
  },
  "too-few-rows": {
    title: "The table has too few rows",
    told: "Let the simulator write more of them.",
  },
  "page-error": {
    title: "The page made a mistake",
    told: "Load it anew. Nothing that was saved is lost.",
  },
};
