// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What each code of docs/findings.md is called and means. In English the program's own sentences, which have the
// measured numbers in them, stand below the title; `told` stands where there are none, and in other languages always.

import { comparing, planning, validating } from "./findings_days.ts";
import { input, program } from "./findings_input.ts";

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

export const findings = {
  note: "Note",
  caution: "Caution",
  refusal: "Refused",
  programSays: "What the program says, in English:",
  codes: { ...measuring, ...planning, ...comparing, ...validating, ...calibrating, ...looking, ...input, ...program } satisfies Record<string, CodeWords>,
};
