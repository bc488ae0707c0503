// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors

export const languages = ["en", "de"];
export const schemes = ["light", "dark"];

export async function useLanguage(page, code) {
  await page.locator("#language").selectOption(code);
  await page.locator(`html[lang="${code}"]`).waitFor();
  await page.locator("h1").first().waitFor();
}

// Calls WORK in both languages, each in light and in dark; the page ends in English and light.
export async function everyLook(page, work) {
  for (const language of languages) {
    await useLanguage(page, language);
    for (const colorScheme of schemes) {
      await page.emulateMedia({ colorScheme });
      await work(`${language}, ${colorScheme}`);
    }
  }
  await page.emulateMedia({ colorScheme: "light" });
  await useLanguage(page, "en");
}
