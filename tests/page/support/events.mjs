// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Counts what a page was given by pointer and by keyboard, so that "by mouse only" is a fact and no intention.

const byKeyboard = ["keydown", "keyup", "keypress"];
const byPointer = ["pointerdown", "pointermove", "mousedown", "mousemove", "wheel", "touchstart"];

// Before any page is opened in the context.
export function countEvents(context) {
  return context.addInitScript(([keys, points]) => {
    window.eventsSeen = { keyboard: 0, pointer: 0 };
    for (const name of keys) window.addEventListener(name, () => { window.eventsSeen.keyboard += 1; }, true);
    for (const name of points) window.addEventListener(name, (event) => { if (event.isTrusted) window.eventsSeen.pointer += 1; }, true);
  }, [byKeyboard, byPointer]);
}

export const eventsSeen = (page) => page.evaluate(() => window.eventsSeen);
