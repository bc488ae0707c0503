// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Whether all is in the window, and can be pressed.

// What sticks out of the window to the right, by name, once what follows the window's width (plots) has done so.
export async function stickingOut(page) {
  const fits = () => document.documentElement.scrollWidth <= document.documentElement.clientWidth;
  if (await page.waitForFunction(fits, undefined, { timeout: 2000 }).catch(() => false)) return [];
  return page.evaluate(() => {
    const scrollsItself = (element) => element !== document.body && element !== document.documentElement
      && (getComputedStyle(element).overflowX !== "visible" || (element.parentElement !== null && scrollsItself(element.parentElement)));
    const found = [...document.querySelectorAll("body *")]
      .filter((element) => element.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .filter((element) => element.parentElement === null || !scrollsItself(element.parentElement))
      .map((element) => `${element.tagName}.${element.className} ${element.textContent.slice(0, 40)}`).slice(0, 8);
    return found.length > 0 ? found : [`the page is ${document.documentElement.scrollWidth} px wide`];
  });
}

// Buttons and links that cannot be hit at their middle, since they lie outside the window or under something, or that are
// smaller than WCAG 2.2 wants (24 px; links in text apart).
export const outOfReach = (page) => page.evaluate(() => {
  const bad = [];
  for (const element of document.querySelectorAll("button, select, input, summary, nav a, .clip-link")) {
    // aside: what is not shown, and the lot of those who use screen readers alone
    // and marks, which lie upon each other where two places are the same
    if (element.closest("[hidden], .handle") || element.type === "file" || !element.checkVisibility()) continue;
    element.scrollIntoView({ block: "center", inline: "nearest" });
    const box = element.getBoundingClientRect();
    const name = `${element.tagName}.${element.className} "${(element.getAttribute("aria-label") ?? element.textContent).slice(0, 40)}"`;
    if (box.left < 0 || box.right > document.documentElement.clientWidth + 1) bad.push(`${name} is outside`);
    const small = Math.min(box.width, box.height) < 24 && !["radio", "checkbox"].includes(element.type);
    if (small) bad.push(`${name} is ${Math.round(box.width)} x ${Math.round(box.height)} px`);
    const hit = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    if (!hit || !(element.contains(hit) || hit.closest("label")?.contains(element))) bad.push(`${name} lies under ${hit?.className}`);
  }
  window.scrollTo(0, 0);
  return bad;
});
