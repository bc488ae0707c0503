// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A person with a mouse and no keyboard: everything by pointer, quantities by the page's own keys.

// Brings files to the page as a file manager does: real drag events of the browser, not made by script.
export async function dropFiles(page, paths) {
  const session = await page.context().newCDPSession(page);
  const { x, y, width, height } = await page.locator("#part-1").boundingBox();
  const at = { x: x + width / 2, y: y + Math.min(height / 2, 200) };
  const data = { items: [], files: paths, dragOperationsMask: 1 };
  for (const type of ["dragEnter", "dragOver", "drop"]) await session.send("Input.dispatchDragEvent", { type, ...at, data });
  await session.detach();
}

// Where a place of the picture is on the screen; `picture` is the locator of a .view-picture.
export async function onScreen(picture, px, clip) {
  const box = await picture.boundingBox();
  return { x: box.x + ((px[0] + 0.5) / clip.width_px) * box.width, y: box.y + ((px[1] + 0.5) / clip.height_px) * box.height };
}

// Turns the wheel until the element is whole in the window, as far as it fits.
export async function wheelTo(page, locator) {
  await page.mouse.move(8, 300); // in the margin, where no list scrolls by itself
  for (let turn = 0; turn < 60; turn += 1) {
    const box = await locator.boundingBox();
    const { height } = page.viewportSize();
    const off = box.y < 0 ? box.y - 20 : box.y + box.height > height ? Math.min(box.y - 20, box.y + box.height - height + 20) : 0;
    if (Math.abs(off) < 1) return;
    const before = await page.evaluate(() => window.scrollY);
    await page.mouse.wheel(0, off);
    await page.waitForFunction((y) => window.scrollY !== y, before, { timeout: 1000 }).catch(() => undefined);
    if (await page.evaluate(() => window.scrollY) === before) return; // it goes no further
  }
}

export async function press(page, locator) {
  await locator.waitFor();
  await wheelTo(page, locator);
  await locator.click();
}

// Sets a mark of part 2: its button, then a click in the picture.
export async function setMark(page, slot, px, clip) {
  await press(page, page.locator(`#part-2 [data-slot="${slot}"]`));
  const picture = page.locator("#part-2 .view-picture.asking");
  await picture.waitFor();
  const at = await onScreen(picture, px, clip);
  await page.mouse.move(at.x, at.y, { steps: 3 });
  await page.mouse.down();
  await page.mouse.up();
  await page.locator("#part-2 .view-picture:not(.asking)").waitFor();
}

export const fieldOf = (page, label) => page.locator("#part-2 .field").filter({ has: page.locator(`label:text-is("${label}")`) });

// Writes a quantity by the field's keys: "12 m ± 5.2 mm" presses 1, 2, m, ±, 5, ...
export async function pressKeys(page, label, quantity) {
  const field = fieldOf(page, label);
  await press(page, field.locator(".keys-toggle"));
  const keys = field.locator(".keypad");
  await keys.waitFor();
  for (const word of quantity.split(" ")) {
    const single = /^[\d.-]+$/.test(word) ? [...word] : [word];
    for (const key of single) await press(page, keys.locator("button", { hasText: new RegExp(`^${key.replace(".", "\\.")}$`) }));
  }
  await press(page, keys.locator(".press"));
}
