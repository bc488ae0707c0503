// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the codes of planning, comparing designs and checking a simulator are called and mean (findings.ts).

export const planning = {
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

export const comparing = {
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

export const validating = {
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
  "simulator-axes": {
    title: "The simulator’s axes point elsewhere",
    told: "Its heights count downwards, or its columns were taken for each other. Say which is which.",
  },
  "simulator-from-footage": {
    title: "The simulation comes from this clip",
    told: "It was predicted from this very flight, so that it agrees by itself. Predict from numbers of another source.",
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
  "simulator-rows-coarse": {
    title: "The simulator's rows lie far apart",
    told: "What lies between them counts as uncertain. Let it write more rows, or its velocities.",
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
