// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One cell of a day's table: a choice of clip or marks, a tick, or a line of text.
import type { ChoiceClip } from "./day_api.ts";
import { columnLabel, isNumeric } from "./day_columns.ts";
import { shortName } from "./day_names.ts";
import type { DayState } from "./day_state.ts";
import { h, replace } from "./dom.ts";
import { words } from "./words/index.ts";

export type CellField = HTMLInputElement | HTMLSelectElement;
export interface Cell {
  element: HTMLTableCellElement;
  field: CellField;
  show(): void; // what the day holds now
  // What is wrong with it, told in the element of that id; "fill": nothing stands there yet.
  showState(state: "right" | "fill" | "wrong", toldIn: string): void;
}

interface Kind {
  field: CellField;
  below?: HTMLElement;
  show(value: string): void;
}

const yes = new Set(["yes", "x", "1", "true"]);
export const isSkipped = (day: DayState, row: number): boolean => yes.has(day.cell(row, "skip").toLowerCase());
export const clipOf = (day: DayState, row: number): ChoiceClip | undefined =>
  day.choices.clips.find((clip) => clip.path === day.cell(row, "clip"));

// "8,2" is what half of Europe types for 8.2.
const tidied = (column: string, text: string): string => {
  const trimmed = text.trim();
  return isNumeric(column) && /^[+-]?\d+,\d+$/.test(trimmed) ? trimmed.replace(",", ".") : trimmed;
};

export function tableCell(day: DayState, row: number, column: string): Cell {
  const label = words.day.cellName(columnLabel(column), row + 1);
  const kind = kindOf(day, row, column, label);
  const { field } = kind;
  field.dataset.row = String(row);
  field.dataset.column = column;
  const element = h("td", { class: `cell ${columnClass(column)}` }, field, kind.below);
  return {
    element,
    field,
    show: () => kind.show(day.cell(row, column)),
    showState(state, toldIn) {
      element.classList.toggle("to-fill", state === "fill");
      setOrNot(field, "aria-required", state === "fill" ? "true" : null);
      setOrNot(field, "aria-invalid", state === "wrong" ? "true" : null);
      setOrNot(field, "aria-describedby", state === "wrong" ? toldIn : null);
      setOrNot(field, "placeholder", state === "fill" && field instanceof HTMLInputElement ? words.day.fillIn : null);
    },
  };
}

function setOrNot(element: Element, name: string, value: string | null): void {
  if (value === null) element.removeAttribute(name);
  else element.setAttribute(name, value);
}

const columnClass = (column: string): string =>
  isNumeric(column) ? "numeric" : ["clip", "survey", "design", "launch", "skip", "note"].includes(column) ? `of-${column}` : "of-own";

function kindOf(day: DayState, row: number, column: string, label: string): Kind {
  if (column === "clip") return clipKind(day, row, label);
  if (column === "survey") return surveyKind(day, row, label);
  if (column === "skip") return skipKind(day, row, label);
  return textKind(day, row, column, label);
}

function textKind(day: DayState, row: number, column: string, label: string): Kind {
  const field = h("input", {
    type: "text", "aria-label": label, autocomplete: "off", maxlength: 200,
    inputmode: isNumeric(column) ? "decimal" : null, list: column === "design" ? "day-designs" : null,
    oninput: () => day.setCell(row, column, tidied(column, field.value), words.day.did.cell(columnLabel(column))),
    onchange: () => { field.value = day.cell(row, column); },
  });
  return { field, show: (value) => { if (document.activeElement !== field || field.value.trim() !== value) field.value = value; } };
}

function skipKind(day: DayState, row: number, label: string): Kind {
  const field = h("input", {
    type: "checkbox", "aria-label": label,
    onchange: () => day.setCell(row, "skip", field.checked ? "yes" : "", words.day.did.cell(columnLabel("skip"))),
  });
  return { field, show: () => { field.checked = isSkipped(day, row); } };
}

const option = (value: string, text: string, chosen: string): HTMLOptionElement =>
  h("option", { value, selected: value === chosen }, text);

function clipKind(day: DayState, row: number, label: string): Kind {
  const field = h("select", {
    "aria-label": label,
    onchange: () => day.setCell(row, "clip", field.value, words.day.did.cell(columnLabel("clip"))),
  });
  const show = (value: string): void => {
    const used = new Set(day.values("clip"));
    const there = day.choices.clips.some((clip) => clip.path === value);
    const paths = day.choices.clips.map((clip) => clip.path);
    const named = (path: string): string => shortName(path, paths);
    replace(field, option("", words.day.chooseClip, value),
      value !== "" && !there ? option(value, words.day.notThere(value), value) : null,
      ...day.choices.clips.map((clip) => option(clip.path, used.has(clip.path) && clip.path !== value ? words.day.inTable(named(clip.path)) : named(clip.path), value)));
    field.title = value;
  };
  return { field, show };
}

// Marks: this clip's own, those of other clips' sheets, or a survey file of the folder.
function surveyKind(day: DayState, row: number, label: string): Kind {
  const below = h("a", { class: "cell-link" }, words.day.makeMarks);
  const field = h("select", {
    "aria-label": label,
    onchange: () => day.setCell(row, "survey", field.value, words.day.did.cell(columnLabel("survey"))),
  });
  const show = (value: string): void => {
    const clip = clipOf(day, row);
    replace(field, ...surveyOptions(day, clip, value));
    field.title = value;
    below.hidden = !clip || clip.marked || value !== clip.own_survey;
    if (clip) below.href = `#/sheet/${clip.id}`;
  };
  return { field, below, show };
}

export function surveyOptions(day: DayState, clip: ChoiceClip | undefined, value: string): HTMLElement[] {
  const said = words.day;
  const ofClips = day.choices.surveys.filter((survey) => survey.clip !== null && survey.path !== clip?.own_survey);
  const files = day.choices.surveys.filter((survey) => survey.clip === null);
  const paths = day.choices.clips.map((one) => one.path);
  const filePaths = files.map((survey) => survey.path);
  const known = value === "" || value === clip?.own_survey || day.choices.surveys.some((survey) => survey.path === value);
  const group = (label: string, options: HTMLElement[]): HTMLElement[] =>
    options.length > 0 ? [h("optgroup", { label }, ...options)] : [];
  return [
    option("", said.chooseMarks, value),
    ...(known ? [] : [option(value, said.notThere(value), value)]),
    ...(clip ? [option(clip.own_survey, clip.marked ? said.ownMarks : said.ownMarksToMake, value)] : []),
    ...group(said.marksOfOthers, ofClips.map((survey) => option(survey.path, said.marksOf(shortName(survey.clip ?? "", paths)), value))),
    ...group(said.surveyFiles, files.map((survey) => option(survey.path, shortName(survey.path, filePaths, ".survey.json"), value))),
  ];
}
