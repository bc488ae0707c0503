// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Two things that fly in one clip, side by side, each to be played, with a button that says which one is the rocket.
import { frameUrl } from "./api.ts";
import type { ClipTimes, Px, SeenPath, Track } from "./api.ts";
import { h, replace, svg, uniqueId } from "./dom.ts";
import { drawTrail } from "./flight_trail.ts";
import { plainNumber } from "./local.ts";
import type { Part } from "./part.ts";
import { words } from "./words/index.ts";

const playEvery_ms = 110;

// Where it begins and where it ends; what it flies in between is to be seen by playing, or by its trail.
function ends(clip: ClipTimes, path: SeenPath): SVGSVGElement {
  const unit = "calc(10px * var(--unit, 1))";
  const mark = (px: Px, kind: "begins" | "ends"): SVGElement[] => {
    const shape = kind === "begins"
      ? (name: string) => svg("circle", { class: name, cx: px[0], cy: px[1] })
      : (name: string) => svg("rect", { class: name, x: px[0], y: px[1] });
    const shapes = [shape("edge"), shape(`end ${kind}`)];
    for (const one of shapes) {
      if (kind === "begins") one.style.setProperty("r", unit);
      else one.style.transform = "translate(calc(-10px * var(--unit, 1)), calc(-10px * var(--unit, 1)))";
    }
    // Near an edge the word runs inwards.
    const across = px[0] / clip.width_px;
    const anchor = across < 0.15 ? "start" : across > 0.85 ? "end" : "middle";
    const text = svg("text", { class: `above from-${anchor}`, x: px[0], y: px[1] }, words.flight[kind]);
    return [...shapes, text];
  };
  return svg("svg", { class: "view-overlay", viewBox: `-0.5 -0.5 ${clip.width_px} ${clip.height_px}`, "aria-hidden": "true" },
    ...mark(path.from_px, "begins"), ...mark(path.to_px, "ends"));
}

interface Card extends Part {
  draw(): Promise<void>; // its trail
}

function card(clip: ClipTimes, path: SeenPath, letter: string, taken: boolean, onChoose: () => void): Card {
  const id = uniqueId("path");
  const image = h("img", { alt: "", width: clip.width_px, height: clip.height_px });
  const gone = h("p", { class: "hint", role: "status" });
  const trail = h("canvas", { role: "img", "aria-label": words.flight.trail(letter), hidden: true });
  const holder = h("div", { class: "view-picture" }, image, trail, ends(clip, path));
  holder.style.aspectRatio = `${clip.width_px} / ${clip.height_px}`;
  holder.style.setProperty("--aspect", String(clip.width_px / clip.height_px));
  const told = h("output", { for: `${id}-slider` });
  const slider = h("input", {
    type: "range", id: `${id}-slider`, min: path.first_frame, max: path.last_frame, step: 1, value: path.first_frame,
    "aria-label": `${words.flight.candidate(letter)}: ${words.flight.frameOf}`, oninput: () => { stop(); trail.hidden = true; show(Number(slider.value)); },
  });
  const play = h("button", { type: "button", onclick: () => (timer ? stop() : start()) }, words.flight.play);
  const time = (frame: number): string => plainNumber(clip.times_s[frame] ?? 0, 2);
  let timer = 0;
  let loading = false;
  let drawn = false;
  const leaving = new AbortController();

  const show = (frame: number): void => {
    slider.value = String(frame);
    told.textContent = words.flight.thisFrame(frame, time(frame));
    loading = true;
    image.alt = words.flight.candidatePicture(letter, frame);
    image.src = frameUrl(clip.id, frame);
  };
  const stop = (): void => {
    window.clearInterval(timer);
    timer = 0;
    play.textContent = words.flight.play;
    trail.hidden = !drawn;
  };
  const start = (): void => {
    if (Number(slider.value) >= path.last_frame) show(path.first_frame);
    const step = Math.max(1, Math.round((path.last_frame - path.first_frame) / 60)); // some seconds for any frame rate
    play.textContent = words.flight.pause;
    trail.hidden = true;
    timer = window.setInterval(() => {
      if (loading) return;
      const next = Number(slider.value) + step;
      if (next > path.last_frame) stop();
      else show(next);
    }, playEvery_ms);
  };
  image.addEventListener("load", () => {
    loading = false;
    replace(gone);
  });
  image.addEventListener("error", () => {
    loading = false;
    stop();
    gone.textContent = words.flight.frameGone;
  });
  const resized = new ResizeObserver(() => {
    if (holder.clientWidth > 0) holder.style.setProperty("--unit", String(clip.width_px / holder.clientWidth));
  });
  resized.observe(holder);
  show(path.first_frame);
  const element = h("li", { class: "candidate" },
    h("h4", {}, words.flight.candidate(letter), taken ? h("span", { class: "taken" }, ` (${words.flight.chosenNow})`) : null),
    h("p", { class: "hint" }, words.flight.candidateSaid(path.first_frame, path.last_frame, time(path.first_frame), time(path.last_frame), path.points)),
    holder, gone, h("div", { class: "row" }, play, slider, told),
    h("p", { class: "row" }, h("button", { type: "button", class: taken ? "" : "press", onclick: onChoose }, words.flight.choose(letter))));
  return {
    element,
    async draw() {
      drawn = await drawTrail(trail, clip, path.first_frame, path.last_frame, leaving.signal);
      if (!timer) trail.hidden = !drawn;
    },
    close() {
      leaving.abort();
      stop();
      resized.disconnect();
    },
  };
}

// The places by which the tracker knows a path again.
export const placesOf = (path: SeenPath): { frame: number; at_px: Px }[] => [
  { frame: path.first_frame, at_px: path.from_px },
  { frame: path.last_frame, at_px: path.to_px },
];

// Null where nothing else flies. `refused`: neither was taken, the choice is still to be made.
export function pathChoice(clip: ClipTimes, track: Track, refused: boolean, onChoose: (path: SeenPath) => void): Part | null {
  const { choice } = track;
  if (!choice?.runner_up) return null;
  const paths = [choice.chosen, choice.runner_up].sort((a, b) => a.first_frame - b.first_frame);
  const cards = paths.map((path, i) =>
    card(clip, path, "AB".charAt(i), !refused && path === choice.chosen, () => onChoose(path)));
  const said = refused ? `${words.flight.choiceSaid} ${words.flight.choiceRefusedSaid}` : words.flight.choiceNoteSaid;
  // One after the other: asked for at once, the frames of both would send the decoder to and fro in the clip.
  void cards.reduce((before, one) => before.then(() => one.draw()), Promise.resolve());
  const list = h("ul", { class: "candidates" }, ...cards.map((one) => one.element));
  const title = refused ? words.flight.choiceTitle : words.flight.choiceNoteTitle;
  // A note does not push itself before the path.
  const element = refused
    ? h("section", { class: "choice-of-paths" }, h("h3", {}, title), h("p", { class: "lead" }, said), list)
    : h("details", { class: "choice-of-paths" }, h("summary", {}, title), h("p", { class: "lead" }, said), list);
  return { element, close: () => cards.forEach((one) => one.close()) };
}
