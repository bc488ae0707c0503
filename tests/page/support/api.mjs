// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// What the server holds, asked from inside the page, so that gate and cookie are those of the page itself.

export const get = (page, path) => page.evaluate(async (from) => {
  const answer = await fetch(from);
  return answer.ok ? answer.json() : { status: answer.status, ...(await answer.json()) };
}, path);

export const sheetIdOf = (page) => /#\/sheet\/([0-9a-f]{16})/.exec(page.url())[1];
export const sheetOf = (page, id = sheetIdOf(page)) => get(page, `/api/sheets/${id}`);

// Until the page says that everything is with the server.
export const allSaved = (page) => page.locator(".saved", { hasText: /^(All saved|Alles gespeichert)$/ }).waitFor();

// Opens the sheet of a clip in the folder, and waits for its first picture.
export async function openSheet(page, stem) {
  await page.locator(".clip-link", { hasText: stem }).click();
  await page.locator("#part-2 .view-picture[data-shown]").waitFor();
  return sheetIdOf(page);
}

// Puts a draft on the server past the page, as another browser would; the page is loaded again afterwards.
export async function putDraft(page, id, draft) {
  const answer = await page.evaluate(async ({ path, given }) => {
    const { revision } = await (await fetch(path)).json();
    const put = await fetch(path, { method: "PUT", body: JSON.stringify({ revision, draft: given }) });
    return { status: put.status, body: await put.json() };
  }, { path: `/api/sheets/${id}`, given: draft });
  if (answer.status !== 200) throw new Error(`the draft was not taken: ${JSON.stringify(answer)}`);
  return answer.body;
}

// A sample's survey as a draft: what a person would have marked and typed.
export function draftOf(survey, rocket = {}) {
  const quantity = (value, std, unit) => (value === undefined ? "" : `${value}${unit}${std === undefined ? "" : ` ± ${std}${unit}`}`);
  const { camera = {}, air = {}, timing = {} } = survey;
  const marks = (kind) => survey.marks.filter((mark) => mark.kind === kind);
  return {
    frame: survey.image.frame ?? 0,
    baselines: marks("baseline").map((mark) => ({
      from_px: mark.from_px, to_px: mark.to_px, length: quantity(mark.length_m, mark.length_std_m, " m"), lies: mark.lies,
      depth_offset: quantity(mark.depth_offset_m, mark.depth_offset_std_m, " m"),
    })),
    lines: marks("line").map(({ from_px, to_px, lies }) => ({ from_px, to_px, lies })),
    launch_px: survey.launch.px,
    height_above_landing: quantity(survey.launch.height_above_landing_m, undefined, " m"),
    view_angle: quantity(camera.horizontal_view_deg, camera.horizontal_view_std_deg, " deg"),
    distance: quantity(camera.distance_m, camera.distance_std_m, " m"),
    tilt: quantity(camera.tilt_deg, camera.tilt_std_deg, " deg"),
    roll: quantity(camera.roll_deg, camera.roll_std_deg, " deg"),
    yaw: quantity(camera.yaw_deg, camera.yaw_std_deg, " deg"),
    temperature: quantity(air.temperature_c, undefined, " °C"),
    pressure: quantity(air.pressure_hpa, undefined, " hPa"),
    wind_along: quantity(air.wind_along_m_s, air.wind_along_std_m_s, " m/s"),
    readout: timing.readout_s === undefined ? "" : quantity(timing.readout_s * 1000, (timing.readout_std_s ?? 0) * 1000, " ms"),
    ...rocket,
  };
}

const sampleRocket = { mass: "6.58 g ± 0.05 g", diameter: "24.06 mm ± 0.1 mm" };

// Opens a sample's sheet with all that its survey says marked and typed, ready to be measured.
export async function openMarked(page, stem, survey, rocket = sampleRocket) {
  const id = await openSheet(page, stem);
  await putDraft(page, id, draftOf(survey, rocket));
  await page.reload();
  await page.locator("#part-3 button.measure").waitFor();
  return id;
}

export async function measure(page, within_ms = 120_000) {
  await page.locator("#part-3 button.measure").click();
  await page.locator("#part-4 .verdict").waitFor({ timeout: within_ms });
}

// Asks the server again and again until what it says of the sheet passes the test, which is to be said in words too.
export async function untilSheet(page, what, passes, { id = sheetIdOf(page), within_ms = 120_000 } = {}) {
  const end = Date.now() + within_ms;
  for (;;) {
    const sheet = await sheetOf(page, id);
    if (passes(sheet)) return sheet;
    if (Date.now() > end) throw new Error(`not within ${within_ms} ms: ${what}; ${JSON.stringify({ job: sheet.job, measured: sheet.measured })}`);
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}

// Until what is measured is what is on the sheet, and nothing is under way.
export const upToDate = (page) => untilSheet(page, "all is measured",
  ({ measured, job }) => measured?.current === true && !["waiting", "running"].includes(job?.state));
