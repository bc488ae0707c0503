import { pageTest } from "./support/page_test.mjs";
pageTest("opens", { clips: ["01-whole-arc"] }, async ({ page }) => {
  await page.waitForSelector(".clip-link");
  await page.click(".clip-link");
  await page.waitForSelector(".view-picture[data-shown]");
  await page.screenshot({ path: "/tmp/wE/s.png", fullPage: true });
});
