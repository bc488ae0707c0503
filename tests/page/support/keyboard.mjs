// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A person with a keyboard and no mouse: Tab, arrows, Enter and Space, and letters.

const focusedIs = (page, selector) => page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector);

const whatHasFocus = (page) => page.evaluate(() => {
  const element = document.activeElement;
  return `${element?.tagName} ${element?.id} ${element?.className} ${element?.getAttribute("aria-label") ?? element?.textContent?.slice(0, 40)}`;
});

const mostStops = 250;

// Presses Tab (or Shift+Tab) until the focus is on what the selector matches.
export async function tabTo(page, selector, key = "Tab") {
  const passed = [];
  for (let stop = 0; stop < mostStops; stop += 1) {
    if (await focusedIs(page, selector)) return;
    await page.keyboard.press(key);
    passed.push(await whatHasFocus(page));
  }
  throw new Error(`Tab does not lead to ${selector}; it went by\n${[...new Set(passed)].join("\n")}`);
}

export async function pressOn(page, selector, { back = false, key = "Enter" } = {}) {
  await page.locator(selector).first().waitFor();
  await tabTo(page, selector, back ? "Shift+Tab" : "Tab");
  await page.keyboard.press(key);
}

export async function type(page, selector, text) {
  await tabTo(page, selector);
  await page.keyboard.press("Control+A");
  await page.keyboard.type(text);
}

// Where the cross or the mark in hand stands, in picture pixels, from its place on the picture.
async function placeOf(page, clip) {
  return page.evaluate(({ width_px, height_px }) => {
    const { style } = document.activeElement;
    return [(parseFloat(style.left) / 100) * width_px - 0.5, (parseFloat(style.top) / 100) * height_px - 0.5];
  }, clip);
}

// Moves it by arrow keys, with Shift, bare, and with Alt for tenths.
export async function moveTo(page, px, clip) {
  for (const [axis, keys] of [[0, ["ArrowLeft", "ArrowRight"]], [1, ["ArrowUp", "ArrowDown"]]]) {
    for (const [size, modifier] of [[10, "Shift+"], [1, ""], [0.1, "Alt+"]]) {
      const off = px[axis] - (await placeOf(page, clip))[axis];
      const times = size === 0.1 ? Math.round(Math.abs(off) / size) : Math.trunc(Math.abs(off) / size + 1e-6);
      for (let time = 0; time < times; time += 1) await page.keyboard.press(modifier + keys[off < 0 ? 0 : 1]);
    }
  }
}

// Sets a mark of part 2: its button, the cross, Enter.
export async function setMark(page, slot, px, clip) {
  await pressOn(page, `#part-2 [data-slot="${slot}"]`);
  await page.locator("#part-2 .view-picture.asking").waitFor();
  await moveTo(page, px, clip);
  await page.keyboard.press("Enter");
  await page.locator("#part-2 .view-picture:not(.asking)").waitFor();
}
