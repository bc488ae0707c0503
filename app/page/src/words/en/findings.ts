// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What each code of docs/findings.md is called and means. In English the program's own sentences, which have the
// measured numbers in them, stand below the title; `told` stands where there are none, and in other languages always.

export interface CodeWords {
  title: string;
  told: string;
}

const measuring = {
  "apogee-extrapolated": {
    title: "The highest point was not seen",
    told: "It was calculated from the rest of the path. Next time step back or tilt up, so that the whole arc is in the picture.",
  },
  "landing-extrapolated": {
    title: "The landing was not seen",
    told: "Range and flight time are calculated. Film until it has landed, or tape the range.",
  },
  "no-landing": {
    title: "It does not come down to the landing level",
    told: "The flight does not reach the landing level within a minute. Check the launch point’s height above the landing ground in part 2.",
  },
  "drag-not-measurable": {
    title: "Too little arc to measure drag",
    told: "The drag is mostly what is usual for such rockets, not what this clip shows. Film the whole arc.",
  },
  "drag-changes": {
    title: "The drag changed in flight",
    told: "From some moment on the air braked it clearly more, or less. Look at the picture from then on: tumbling, a bent body, a lost fin.",
  },
  "gravity-only": {
    title: "Gravity alone set the scale",
    told: "Nothing marked in part 2 has metres in it. Put a known length into the picture.",
  },
  "launch-point-assumed": {
    title: "No launch point was marked",
    told: "It was taken to be where the rocket was first seen. Mark the mouth of the tube in part 2.",
  },
  "launch-point-off-path": {
    title: "The path misses the launch point",
    told: "Followed back, the path passes beside the mark. Mark the tube’s mouth, not its foot.",
  },
  "residuals-large": {
    title: "The points lie far from the fitted path",
    told: "The flight model does not explain them well. Look for a changing drag, a moved camera or a bending lens.",
  },
  "prior-pulled": {
    title: "Something given does not suit the flight",
    told: "The fit wants a readout, wind or direction far from what was given or assumed. Check that entry in part 2.",
  },
  "rulers-disagree": {
    title: "Gravity and the known length disagree",
    told: "The length by gravity and the one given in part 2 do not agree. Check the length, how far in front of the flight it lay, and whether the clip is slow motion.",
  },
  "path-ambiguous": {
    title: "Two things fly in this clip",
    told: "Another path flies about as well. Say in part 3 which of the two is the rocket, or mark the launch point in part 2.",
  },
  "repeated-frames": {
    title: "The clip shows frames twice",
    told: "The second of each pair was left out. Film in brighter light; use the clip as the phone recorded it.",
  },
  "tumbling": {
    title: "It tumbled",
    told: "The body turned far away from its path. Larger or more fins, or a heavier nose; the drag is that of a body that tumbles.",
  },
  "no-rocket": {
    title: "No rocket was found",
    told: "Nothing in the clip moves like a body thrown through air. Show the program the rocket on a few frames in part 3, or film against the sky with the camera still.",
  },
  "time-base-suspect": {
    title: "The clip’s seconds are not real ones",
    told: "Things fall too slowly or too fast: slow motion, probably. Give the rate it was filmed with in part 2.",
  },
  "too-few-points": {
    title: "The rocket was seen on too few frames",
    told: "Eight frames of free flight are the least. Show the rocket on further frames in part 3, or film with more frames a second.",
  },
  "no-flight-through-marks": {
    title: "No flight goes through the places you showed",
    told: "Check them one by one in part 3: each must lie on the rocket, on its own frame.",
  },
  "no-scale": {
    title: "Nothing says how large it is",
    told: "No length is known, and the highest point is not in the picture. Mark a known length in part 2.",
  },
  "survey-contradicts": {
    title: "The marks and lengths of part 2 contradict each other",
    told: "They cannot all be true. Check every mark and every length.",
  },
  "fit-failed": {
    title: "No flight could be fitted",
    told: "No flight with gravity and drag passes near the points. Look in part 3 whether they are on the rocket.",
  },
  "not-ballistic": {
    title: "It did not fly like a thrown body",
    told: "The best flight misses half of the points. Look in part 3 whether the right thing was followed.",
  },
  "no-picture": {
    title: "No picture could be made",
    told: "There is no frame to draw the flight on. The numbers hold all the same.",
  },
  "no-flight": {
    title: "No part of the flight is in the picture",
    told: "The composite picture has nothing to show. The numbers hold all the same.",
  },
  "pose-unknown": {
    title: "The camera moved, and its direction is not known there",
    told: "Make the marks of part 2 on a frame near the flight, where the camera still shows the same scene.",
  },
};

const planning = {
  "shot-blurred": {
    title: "The rocket would be blurred",
    told: "At the launch its streak would be longer than the rocket. Brighter light, a shorter exposure.",
  },
  "shot-small": {
    title: "The rocket would be small",
    told: "At the highest point it would be less than 8 px long. More pixels, or nearer.",
  },
  "shot-fast": {
    title: "The rocket would be fast",
    told: "At the launch it would move more than 80 px from frame to frame. A higher frame rate, or farther away.",
  },
  "spread-unknown": {
    title: "How much launches differ is not known",
    told: "No design has two flights to judge it by. Launch one design at least twice.",
  },
  "flight-out-of-view": {
    title: "The flight would not be in the picture",
    told: "From this place no part of it shows. Step back, or turn the camera.",
  },
  "drag-beyond-table": {
    title: "The flight leaves the drag table",
    told: "Beyond it the nearest end was taken. Lengthen the table.",
  },
  "starts-from-caution": {
    title: "That flight was measured with cautions",
    told: "Read them in its report before you rely on what is predicted from it.",
  },
  "nothing-measured": {
    title: "Nothing was measured there",
    told: "The flight that was named was refused, and holds nothing to go by. Name another one.",
  },
};

const comparing = {
  "several-variables": {
    title: "More than one thing differs between the designs",
    told: "What made the difference cannot be told. Change one thing at a time.",
  },
  "design-not-uniform": {
    title: "Rockets of one design are not alike",
    told: "A design variable has more than one value within a design. Give each kind of rocket a name of its own.",
  },
  "order-not-shuffled": {
    title: "The order was not shuffled",
    told: "All launches of one design came before all of another, so that wind or wear look like the design. Shuffle the order.",
  },
  "day-drifts": {
    title: "The day drifted",
    told: "Launch speed or range go with the order of launches. Shuffle the order.",
  },
  "few-flights": {
    title: "Few flights",
    told: "There are fewer than three usable flights of a design. Launch more.",
  },
  "push-differs": {
    title: "The designs were not pushed alike",
    told: "Their launch speeds differ. Look at the comparison at the standard launch.",
  },
  "masses-differ": {
    title: "The designs’ masses differ",
    told: "They differ by 5 % or more. The drag area leaves the mass out.",
  },
  "day-incomplete": {
    title: "Some flights are not measured yet",
    told: "Run the day again to measure the rest of its table.",
  },
  "tape-disagrees": {
    title: "The tape and the clip disagree",
    told: "Measured and taped ranges differ by more than their uncertainties explain. Check the baseline and the tape.",
  },
  "no-flights": {
    title: "No flight can be compared",
    told: "No flight of the day was measured. Look at what each clip says.",
  },
};

const validating = {
  "launches-differ": {
    title: "One simulation, launches that differ",
    told: "The launch speeds differ beyond their uncertainty. Simulate each flight from its own launch.",
  },
  "one-survey": {
    title: "All flights share one survey",
    told: "A mistake in it would be in all of them. Tape and mark anew for some.",
  },
  "named-twice": {
    title: "A flight was named twice",
    told: "It counts once. There is nothing to do.",
  },
  "too-little-drag": {
    title: "The simulator has too little drag",
    told: "More drag would mend its path best.",
  },
  "too-much-drag": {
    title: "The simulator has too much drag",
    told: "Less drag would mend its path best.",
  },
  "launch-too-fast": {
    title: "The simulator launches too fast",
    told: "A slower launch would mend its path best. Correct its launch speed.",
  },
  "launch-too-slow": {
    title: "The simulator launches too slowly",
    told: "A faster launch would mend its path best. Correct its launch speed.",
  },
  "launch-too-steep": {
    title: "The simulator launches too steeply",
    told: "A flatter launch would mend its path best. Correct its launch angle.",
  },
  "launch-too-flat": {
    title: "The simulator launches too flat",
    told: "A steeper launch would mend its path best. Correct its launch angle.",
  },
  "wind-differs": {
    title: "The simulator has another wind",
    told: "Another wind would mend its path best. Measure the wind.",
  },
  "several-mends": {
    title: "More than one change would mend the path",
    told: "Check first the one that is easiest to measure.",
  },
  "no-single-mend": {
    title: "No single change mends the path",
    told: "Start the simulator with the measured launch.",
  },
  "simulator-shape": {
    title: "The simulator’s path has another shape",
    told: "No launch, steady drag or wind bends a path like it. Look for thrust, gliding or a changing drag.",
  },
  "simulator-units": {
    title: "The simulator’s units look wrong",
    told: "Its places are some 3.3, 0.3, 100 or 0.01 times as large as measured. Name the unit in the column’s header.",
  },
  "simulator-columns-disagree": {
    title: "The simulator’s columns disagree",
    told: "Its velocities are not the rate of change of its places. Check their units.",
  },
  "simulator-launch-unclear": {
    title: "When the simulator launches is not clear",
    told: "It still gains speed after the row taken for its launch. Say the launch’s time.",
  },
  "launch-not-as-measured": {
    title: "The simulator does not start as measured",
    told: "Its speed or angle are not the measured ones. Start it with them.",
  },
  "simulator-heights-only": {
    title: "The simulator gives heights only",
    told: "Its table has no horizontal distances. Add the column.",
  },
  "simulator-ends-early": {
    title: "The simulation ends early",
    told: "Its table ends above the landing level. Let it go on.",
  },
  "measured-with-caution": {
    title: "The measured flight has cautions of its own",
    told: "Read its report.",
  },
  "no-common-time": {
    title: "Clip and simulation share no part of the flight",
    told: "There is nothing to lay side by side. Check the table’s times.",
  },
};

const calibrating = {
  "no-board": {
    title: "No chessboard was found",
    told: "It shows whole in none of the pictures. Photograph it whole, flat and well lit.",
  },
  "too-few-boards": {
    title: "Too few pictures of the chessboard",
    told: "It shows whole in fewer than five of them. Take more.",
  },
  "boards-not-tilted": {
    title: "The boards are too much alike",
    told: "They all face the camera. Tilt the board in some pictures.",
  },
  "boards-do-not-fit": {
    title: "No lens explains the boards",
    told: "Another pattern, or a zoom that changed. Count its squares, and leave the zoom alone.",
  },
  "clip-too-short": {
    title: "The clip is too short",
    told: "At least 45 frames are needed. Film the lamp for longer.",
  },
  "no-flicker": {
    title: "No flicker was found",
    told: "Film a lamp that flickers, without daylight, with a short exposure and the phone still.",
  },
  "bands-stand-still": {
    title: "The flicker’s bands stand still",
    told: "At this frame rate they cannot be told from the scene. Film a plain wall, or at another frame rate.",
  },
  "readout-not-clear": {
    title: "The flicker’s bands are too faint",
    told: "Film closer to the lamp, with a shorter exposure.",
  },
};

const input = {
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

const looking = {
  "clip-broken-off": {
    title: "The file ends before its time",
    told: "The frames up to there can be looked at. Copy the clip from the phone again: with a piece missing it cannot be measured.",
  },
  "clip-short": {
    title: "The clip is very short",
    told: "A flight needs at least eight frames and mostly more than a second. Start filming two seconds before the launch and stop two seconds after the landing.",
  },
  "clip-long": {
    title: "The clip is long",
    told: "All of it will be searched for the flight. Cut it on the phone to have the answer sooner.",
  },
  "slow-motion": {
    title: "This is slow motion",
    told: "The phone’s own tag says how many frames a second it took, and time is counted accordingly. If the clip was slowed down once more, say the true rate in part 2.",
  },
  "rate-low": {
    title: "Few frames a second",
    told: "A fast rocket moves far from one to the next. Film with 60 frames a second or more, if the phone can.",
  },
  "frames-missing": {
    title: "Frames are missing",
    told: "The times that remain are right. Close other apps while filming, and give the original from the phone.",
  },
  "frames-uneven": {
    title: "The frames do not come evenly",
    told: "Nothing to do: each frame is taken at its own time.",
  },
  "picture-small": {
    title: "The picture is small",
    told: "Film at full resolution, and give the original: messengers make clips smaller.",
  },
  "picture-dark": {
    title: "The picture is dark",
    told: "The phone will have exposed for long, and what is fast leaves a streak. Film in daylight.",
  },
  "no-colour": {
    title: "The picture has no colours",
    told: "Nothing to do: the rocket is found by brightness alone.",
  },
};

// Errors of the program and its server that a user of the page can meet.
const program = {
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

export const findings = {
  note: "Note",
  caution: "Caution",
  refusal: "Refused",
  programSays: "What the program says, in English:",
  codes: { ...measuring, ...planning, ...comparing, ...validating, ...calibrating, ...looking, ...input, ...program } satisfies Record<string, CodeWords>,
};
