// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
import { answers } from "./answers.ts";
import { clip } from "./clip.ts";
import { day } from "./day.ts";
import { findings } from "./findings.ts";
import { flight } from "./flight.ts";
import { frame } from "./frame.ts";
import { keypad } from "./keypad.ts";
import { metres } from "./metres.ts";
import { page } from "./page.ts";
import { phrases } from "./phrases.ts";

import type { Words } from "../index.ts";

export const de: Words = {
  page,
  clip,
  frame,
  keypad,
  metres,
  flight,
  answers,
  findings,
  phrases,
  day,
};
