// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The page's frame: header, language, and which view the address after # asks for:
//   #/           choose a clip          #/sheet/ID   one clip's sheet
//   #/days       the launch days        #/day/NAME   one day's table

import "./page.css";
import { getState, troubleOf } from "./api.ts";
import type { ServerState } from "./api.ts";
import { dayView, daysView } from "./day.ts";
import { h, replace } from "./dom.ts";
import { closedPart } from "./part.ts";
import type { Part } from "./part.ts";
import { partAnswers } from "./part_answers.ts";
import { partClip } from "./part_clip.ts";
import { partFlight } from "./part_flight.ts";
import { partMetres } from "./part_metres.ts";
import { SheetState } from "./sheet.ts";
import { sheetBar } from "./sheet_bar.ts";
import { troubleBox } from "./trouble.ts";
import { language, languages, startLanguage, useLanguage, words } from "./words/index.ts";
import type { Language } from "./words/index.ts";

let server: ServerState | null = null;
let view: Part | null = null;
let shown = 0;

const page = document.getElementById("page") as HTMLElement;
const content = h("main", { id: "content" });

// Views are drawn only once the program has said what it is.
function knownServer(): ServerState {
  if (!server) throw new Error("the program has not answered yet");
  return server;
}

function header(): HTMLElement {
  const choice = h("select", {
    id: "language",
    onchange: () => {
      useLanguage(choice.value as Language, true);
      void show().then(() => document.getElementById("language")?.focus({ preventScroll: true }));
    },
  }, ...languages.map(({ code, name }) => h("option", { value: code, lang: code, selected: code === language }, name)));
  const days = location.hash.startsWith("#/day");
  return h("header", { class: "page-header" },
    h("p", { class: "maker" }, words.page.title, h("span", {}, ` · ${words.page.tagline}`)),
    h("nav", { class: "page-nav" },
      h("a", { href: "#/", "aria-current": days ? null : "page" }, words.page.sheets),
      h("a", { href: "#/days", "aria-current": days ? "page" : null }, words.page.days)),
    h("label", { class: "page-language", for: "language" }, h("span", {}, words.page.language), choice));
}

function footer(): HTMLElement | null {
  if (!server) return null;
  const said = server.lan ? words.page.versionLan(server.version) : words.page.version(server.version);
  return h("footer", { class: "page-footer" }, h("p", {}, `${words.page.folder(server.folder)} · ${said}`));
}

function startView(): Part {
  const titles = words.page.partTitles;
  const parts = [
    partClip(null, knownServer()),
    closedPart(2, titles.metres, words.page.waitsForClip),
    closedPart(3, titles.flight, words.page.waitsForClip),
    closedPart(4, titles.answers, words.page.waitsForClip),
  ];
  return together(h("div", { class: "sheet" }, h("h1", {}, words.page.heading), ...parts.map((part) => part.element)), parts);
}

async function sheetView(id: string): Promise<Part> {
  const sheet = await SheetState.open(id);
  const parts = [sheetBar(sheet), partClip(sheet, knownServer()), partMetres(sheet), partFlight(sheet), partAnswers(sheet)];
  const element = h("div", { class: "sheet" }, ...parts.map((part) => part.element));
  document.title = `${sheet.clip.name} · Loftline`;
  return together(element, [...parts, { element, close: () => sheet.close() }]);
}

const together = (element: HTMLElement, parts: Part[]): Part => ({
  element,
  close: () => parts.forEach((part) => part.close()),
});

async function viewFor(hash: string): Promise<Part> {
  document.title = "Loftline";
  const [, kind = "", name = ""] = hash.replace(/^#/, "").split("/");
  const given = decodeURIComponent(name);
  if (kind === "") return startView();
  if (kind === "sheet" && /^[0-9a-f]{16}$/.test(given)) return sheetView(given);
  if (kind === "days") return daysView();
  if (kind === "day" && given !== "") return dayView(given);
  return { element: h("section", {}, h("p", {}, words.page.noSuchPage)), close: () => undefined };
}

// Draws the whole page anew. Of two calls that overlap the later one wins.
async function show(): Promise<void> {
  const mine = ++shown;
  const scrolled = window.scrollY;
  view?.close();
  view = null;
  replace(content, h("p", { class: "hint", role: "status" }, words.page.loading));
  replace(page, header(), content, footer());
  let next: Part;
  try {
    server ??= await getState();
    next = await viewFor(location.hash);
  } catch (error) {
    const again = h("button", { type: "button", onclick: () => void show() }, words.page.again);
    next = { element: troubleBox(troubleOf(error), [again]), close: () => undefined };
  }
  if (mine !== shown) {
    next.close();
    return;
  }
  view = next;
  replace(content, next.element);
  replace(page, header(), content, footer());
  window.scrollTo(0, scrolled);
}

startLanguage();
window.addEventListener("hashchange", () => {
  window.scrollTo(0, 0);
  void show();
});
void show();
