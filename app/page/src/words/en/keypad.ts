// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Numbers and units by pointing.
export const keypad = {
  title: "Keys for numbers and units",
  keys: "Keys",
  open: (field: string) => `Keys for ${field}`,
  point: "decimal point",
  minus: "minus",
  plusMinus: "plus or minus",
  erase: "Erase",
  whichUnit: (number: string) => `${number} of what?`,
  done: "Done",
};
