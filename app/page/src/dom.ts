// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Small helpers to make elements. Text is always set as text, never as HTML, so that nothing a clip or a file is
// called can become markup.

export type Child = Node | string | number | null | undefined | false;

type Handlers = { [K in keyof HTMLElementEventMap as `on${K}`]?: (event: HTMLElementEventMap[K]) => void };
export interface Props extends Handlers {
  class?: string;
  [attribute: string]: unknown;
}

function setProp(element: Element, name: string, value: unknown): void {
  if (value === null || value === undefined || value === false) return;
  if (name.startsWith("on") && typeof value === "function") {
    element.addEventListener(name.slice(2), value as EventListener);
  } else if (value === true) {
    element.setAttribute(name, "");
  } else {
    element.setAttribute(name, String(value));
  }
}

export function append(parent: Element, children: readonly Child[]): void {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue;
    parent.append(child instanceof Node ? child : String(child));
  }
}

// h("button", {class: "go", onclick: f}, "Measure"): true sets an empty attribute; false, null and undefined leave it out.
export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  props: Props = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) setProp(element, name, value);
  append(element, children);
  return element;
}

export function svg<K extends keyof SVGElementTagNameMap>(
  tag: K,
  props: Record<string, unknown> = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(props)) setProp(element, name, value);
  append(element, children);
  return element;
}

export function replace(parent: Element, ...children: Child[]): void {
  parent.replaceChildren();
  append(parent, children);
}

let nextId = 0;
export const uniqueId = (stem: string): string => `${stem}-${++nextId}`;

let region: HTMLElement | null = null;

// Says `text` to those who listen to the page. Not for what is to be read on the page too: that has its own place.
export function announce(text: string): void {
  if (!region) {
    region = h("div", { class: "quiet", role: "status", "aria-live": "polite" });
    document.body.append(region);
  }
  region.textContent = region.textContent === text ? `${text}\u00a0` : text;
}
