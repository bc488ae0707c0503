// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// A clip's picture to work on: stepping from frame to frame, drawings and marks on top in picture pixels, and the magnifier.
//
//   const view = new FrameView(clip, { frame: 0, onFrame: (n) => ... });
//   parent.append(view.element);            the picture and its stepping; view.side is the column beside it and
//                                           view.foot the line below it, for your own
//   const layer = view.layer("path");       an SVG group in picture pixels, x right, y down, (0,0) the first pixel's centre
//   const mark = view.addHandle({ ... });   see handle.ts
//   view.askForPlace("first end", done);    the next click, or Enter at the cross, gives a place; null when given up
//   view.close();
//
// Lengths in an overlay's CSS: calc(3px * var(--unit)) is 3 screen pixels, whatever the size of the picture.

import { troubleOf } from "./api.ts";
import type { ClipTimes, Px } from "./api.ts";
import { announce, h, replace, svg, uniqueId } from "./dom.ts";
import { FrameFetch } from "./frame_fetch.ts";
import { Handle } from "./handle.ts";
import type { HandleOptions } from "./handle.ts";
import { Lens } from "./lens.ts";
import { troubleBox } from "./trouble.ts";
import { number, words } from "./words/index.ts";

export interface FrameViewOptions {
  frame?: number;
  // A new frame has been asked for (by slider, button or key); it is shown as soon as it is there.
  onFrame?: (frame: number) => void;
  // A click or tap on the picture outside a mark, while no place is asked for.
  onTap?: (px: Px, event: PointerEvent) => void;
}

const hundredth = (value: number): number => Math.round(value * 100) / 100;

export class FrameView {
  readonly element: HTMLElement;
  readonly side: HTMLElement;
  readonly foot = h("div", { class: "view-foot" });
  frame: number;

  private readonly canvas: HTMLCanvasElement;
  private readonly overlay: SVGSVGElement;
  private readonly marks = h("div", { class: "view-marks" });
  private readonly picture: HTMLElement;
  private readonly message = h("div", { class: "view-message" });
  private readonly prompt = h("p", { class: "view-prompt", role: "status" });
  private readonly aim: HTMLButtonElement;
  private readonly slider: HTMLInputElement;
  private readonly told: HTMLOutputElement;
  private readonly playButton = h("button", { type: "button", class: "step" }, words.frame.play);
  private readonly lens: Lens;
  private readonly fetcher: FrameFetch;
  private readonly handles = new Set<Handle>();
  private readonly resized: ResizeObserver;
  private active: Handle | null = null;
  private hovered: Px | null = null;
  private aimAt: Px;
  private asked: { done: (px: Px | null) => void; back: Element | null } | null = null;
  private playTimer = 0;
  private drawn = 0; // counts the pictures, so that a late decode never covers a newer one
  private arrived = false; // the frame asked for is there: others that come late are not for showing

  constructor(readonly clip: ClipTimes, private readonly options: FrameViewOptions = {}) {
    const { width_px, height_px } = clip;
    this.frame = Math.min(Math.max(options.frame ?? 0, 0), clip.frames - 1);
    this.aimAt = [Math.round(width_px / 2), Math.round(height_px / 2)];
    this.canvas = h("canvas", { width: width_px, height: height_px, role: "img" });
    this.overlay = svg("svg", { class: "view-overlay", viewBox: `-0.5 -0.5 ${width_px} ${height_px}`, "aria-hidden": "true" });
    this.aim = h("button", {
      type: "button", class: "aim", hidden: true, onkeydown: (event) => this.aimKey(event),
      onclick: (event) => { if (event.detail === 0) this.answer(this.aimAt); },
    }, h("span", { "aria-hidden": "true" }));
    this.picture = h("div", { class: "view-picture" }, this.canvas, this.overlay, this.marks, this.message);
    this.picture.style.aspectRatio = `${width_px} / ${height_px}`;
    this.marks.append(this.aim);
    this.listenToPointer();
    this.lens = new Lens({
      source: this.canvas,
      marks: () => [...this.handles].map((handle) => handle.at),
      canPlace: () => this.asked !== null || this.active !== null,
      onPlace: (px, final) => this.placeByLens(px, final),
    });
    this.slider = h("input", {
      type: "range", min: 0, max: clip.frames - 1, step: 1, value: this.frame, id: uniqueId("frame"),
      "aria-label": words.frame.slider, oninput: () => this.show(Number(this.slider.value)),
    });
    this.told = h("output", { for: this.slider.id });
    this.side = h("div", { class: "view-side" }, this.lens.element);
    const main = h("div", { class: "view-main" }, this.picture, this.prompt, this.stepping(), this.foot);
    this.element = h("div", { class: "view", onkeydown: (event) => this.stepKey(event) }, main, this.side);
    this.element.style.setProperty("--aspect", String(width_px / height_px));
    this.element.classList.toggle("tall", height_px > width_px);
    this.fetcher = new FrameFetch(clip.id, clip.frames,
      (frame, picture) => void this.draw(frame, picture), (frame, error) => this.failed(frame, error));
    this.resized = new ResizeObserver(() => this.measureUnit());
    this.resized.observe(this.picture);
    this.show(this.frame);
    this.lens.look(this.aimAt);
  }

  close(): void {
    this.stop();
    this.fetcher.close();
    this.resized.disconnect();
  }

  // Goes to a frame; from outside too.
  show(frame: number): void {
    const to = Math.min(Math.max(Math.round(frame), 0), this.clip.frames - 1);
    const changed = to !== this.frame;
    this.frame = to;
    this.slider.value = String(to);
    const said = words.frame.at(to, this.clip.frames - 1, number(this.clip.times_s[to] ?? 0, 3));
    this.told.textContent = said;
    this.slider.setAttribute("aria-valuetext", said);
    this.canvas.setAttribute("aria-label", words.frame.picture(this.clip.name, to));
    this.arrived = false;
    this.fetcher.want(to);
    if (changed) this.options.onFrame?.(to);
  }

  // A group of the overlay; later ones lie on top.
  layer(name: string): SVGGElement {
    const group = svg("g", { class: name });
    this.overlay.append(group);
    return group;
  }

  addHandle(options: HandleOptions): Handle {
    const handle = new Handle({
      toPixels: (event) => this.toPixels(event),
      clamp: (px) => this.clamp(px),
      place: (element, px) => this.placeElement(element, px),
      activate: (active) => this.activate(active),
      shown: (moved) => { if (this.active === moved && !this.asked) this.lens.look(moved.at); else this.lens.redraw(); },
      drop: (gone) => this.drop(gone),
    }, options);
    this.handles.add(handle);
    this.marks.append(handle.element);
    this.lens.redraw();
    return handle;
  }

  // Turns the magnifier to a place, with no mark in hand.
  lookAt(px: Px): void {
    this.active = null;
    this.lens.look(px);
  }

  // The picture place under a pointer, also outside the picture.
  toPixels(event: { clientX: number; clientY: number }): Px {
    const box = this.picture.getBoundingClientRect();
    return [
      ((event.clientX - box.left) / box.width) * this.clip.width_px - 0.5,
      ((event.clientY - box.top) / box.height) * this.clip.height_px - 0.5,
    ];
  }

  clamp(px: Px): Px {
    const inside = (value: number, size: number): number => hundredth(Math.min(Math.max(value, -0.5), size - 0.5));
    return [inside(px[0], this.clip.width_px), inside(px[1], this.clip.height_px)];
  }

  // Asks for a place, named `what`: by a click in the picture or the magnifier, or with the keys. `start` is where the cross
  // stands at first. One question at a time: a new one gives up the old.
  askForPlace(what: string, done: (px: Px | null) => void, start?: Px): void {
    const back = this.asked?.back ?? document.activeElement;
    this.giveUp();
    this.asked = { done, back };
    this.active = null;
    if (start) this.aimAt = this.clamp(start);
    this.picture.classList.add("asking");
    this.aim.hidden = false;
    this.aim.setAttribute("aria-label", words.frame.aim(what));
    this.placeElement(this.aim, this.aimAt);
    replace(this.prompt, h("span", {}, words.frame.ask(what)),
      h("button", { type: "button", class: "small", onclick: () => this.answer(this.aimAt) }, words.frame.atCross),
      h("button", { type: "button", class: "small", onclick: () => this.answer(null) }, words.frame.giveUp));
    this.lens.look(this.aimAt);
    this.aim.focus({ preventScroll: true });
    this.showWhole();
  }

  get asking(): boolean {
    return this.asked !== null;
  }

  private giveUp(): void {
    const asked = this.asked;
    this.asked = null;
    asked?.done(null);
  }

  private answer(px: Px | null): void {
    const asked = this.asked;
    if (!asked) return;
    this.asked = null;
    this.picture.classList.remove("asking");
    const hadFocus = document.activeElement === this.aim || document.activeElement === document.body || this.prompt.contains(document.activeElement);
    this.aim.hidden = true;
    replace(this.prompt);
    if (px === null && hadFocus && asked.back instanceof HTMLElement) asked.back.focus({ preventScroll: true });
    asked.done(px === null ? null : this.clamp(px));
    if (this.asked === null) this.followActive();
  }

  // Brings the picture into sight where a question about it begins.
  private showWhole(): void {
    const box = this.picture.getBoundingClientRect();
    const hidden = parseFloat(getComputedStyle(document.documentElement).scrollPaddingTop) || 0; // below what stays at the top
    if (box.top < hidden || box.bottom > window.innerHeight) this.picture.scrollIntoView({ block: "start" });
  }

  private activate(handle: Handle): void {
    this.active = handle;
    this.hovered = null;
    this.lens.look(handle.at);
  }

  private drop(handle: Handle): void {
    this.handles.delete(handle);
    if (this.active === handle) this.active = null;
    this.lens.redraw();
  }

  private followActive(): void {
    this.hovered = null;
    if (this.asked) this.lens.look(this.aimAt);
    else if (this.active) this.lens.look(this.active.at);
  }

  private placeByLens(px: Px, final: boolean): void {
    if (this.asked) {
      this.moveAim(px);
      if (final) this.aim.focus({ preventScroll: true });
    } else {
      this.active?.moveTo(px, final);
    }
  }

  private placeElement(element: HTMLElement, px: Px): void {
    element.style.left = `${((px[0] + 0.5) / this.clip.width_px) * 100}%`;
    element.style.top = `${((px[1] + 0.5) / this.clip.height_px) * 100}%`;
  }

  private moveAim(px: Px): void {
    this.aimAt = this.clamp(px);
    this.placeElement(this.aim, this.aimAt);
    this.lens.look(this.aimAt);
  }

  private aimKey(event: KeyboardEvent): void {
    const steps: Record<string, Px> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const step = steps[event.key];
    if (event.key === "Escape") {
      event.preventDefault();
      this.answer(null);
    } else if (step && !event.ctrlKey && !event.metaKey) {
      event.preventDefault();
      const size = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
      // A key that is held down goes faster and faster, or a wide picture takes a minute to cross.
      const held = event.repeat && !event.altKey ? 6 : 1;
      this.moveAim([this.aimAt[0] + step[0] * size * held, this.aimAt[1] + step[1] * size * held]);
      announce(words.frame.place(this.aimAt[0], this.aimAt[1]));
    }
  }

  private listenToPointer(): void {
    const { picture } = this;
    picture.addEventListener("pointermove", (event) => {
      if (event.buttons !== 0 && !this.asked) return;
      if (event.pointerType === "touch" && !this.asked) return;
      this.hovered = this.clamp(this.toPixels(event));
      this.lens.look(this.hovered);
    });
    picture.addEventListener("pointerleave", () => this.followActive());
    let down: PointerEvent | null = null;
    picture.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      down = event;
      if (!this.asked) return;
      event.preventDefault(); // the cross keeps the focus
      picture.setPointerCapture(event.pointerId);
    });
    picture.addEventListener("pointerup", (event) => {
      const began = down;
      down = null;
      if (!began || event.button !== 0) return;
      const px = this.clamp(this.toPixels(event));
      if (this.asked) {
        this.aimAt = px;
        this.answer(px);
      } else if (Math.hypot(event.clientX - began.clientX, event.clientY - began.clientY) < 6) {
        this.options.onTap?.(px, event);
      }
    });
    picture.addEventListener("pointercancel", () => { down = null; });
  }

  private stepping(): HTMLElement {
    this.playButton.addEventListener("click", () => (this.playTimer === 0 ? this.play() : this.stop()));
    const step = (by: number, text: string, name: string): HTMLElement =>
      h("button", { type: "button", class: "step", title: name, onclick: () => this.show(this.frame + by) },
        text, h("span", { class: "quiet" }, ` ${words.frame.unit(Math.abs(by))}`));
    return h("div", { class: "view-stepping", role: "group", "aria-label": words.frame.stepping },
      step(-10, "−10", words.frame.back(10)), step(-1, "−1", words.frame.back(1)), this.slider,
      step(1, "+1", words.frame.on(1)), step(10, "+10", words.frame.on(10)), this.playButton, this.told);
  }

  // A quarter of the pace of life, and never faster than the pictures come; from the start where it stood at the end.
  private play(): void {
    const by = Math.max(1, Math.round((this.clip.frames - 1) / Math.max(this.clip.duration_s, 0.1) / 60));
    if (this.frame >= this.clip.frames - 1) this.show(0);
    this.playButton.textContent = words.frame.stop;
    this.playTimer = window.setInterval(() => {
      if (!this.arrived) return;
      if (this.frame >= this.clip.frames - 1) this.stop();
      else this.show(this.frame + by);
    }, 1000 / 15);
  }

  private stop(): void {
    window.clearInterval(this.playTimer);
    this.playTimer = 0;
    this.playButton.textContent = words.frame.play;
  }

  // Full stop and comma step while the focus is in the view, whatever has it there but a field to type in.
  private stepKey(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target instanceof HTMLElement && event.target.matches("input:not([type=range]), textarea, select")) return;
    const by = { ",": -1, ".": 1, "<": -10, ">": 10, ";": -10, ":": 10, PageUp: 10, PageDown: -10 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    this.show(this.frame + by);
  }

  private async draw(frame: number, picture: Blob): Promise<void> {
    if (this.arrived) return;
    this.arrived = frame === this.frame;
    const mine = ++this.drawn;
    try {
      const bitmap = await createImageBitmap(picture);
      if (mine === this.drawn) {
        const context = this.canvas.getContext("2d");
        context?.drawImage(bitmap, 0, 0, this.canvas.width, this.canvas.height);
        this.picture.dataset["shown"] = String(frame);
        replace(this.message);
        this.lens.redraw();
      }
      bitmap.close();
    } catch (error) {
      this.failed(frame, error);
    }
  }

  private failed(frame: number, error: unknown): void {
    if (frame !== this.frame) return;
    const again = h("button", { type: "button", onclick: () => this.fetcher.want(this.frame) }, words.page.again);
    replace(this.message, troubleBox(troubleOf(error), [again]));
  }

  private measureUnit(): void {
    const width = this.picture.clientWidth;
    if (width > 0) this.picture.style.setProperty("--unit", String(this.clip.width_px / width));
    this.lens.redraw();
  }
}
