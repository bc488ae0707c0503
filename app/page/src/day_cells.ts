// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// One cell of a day's table: a choice of clip or marks, a tick, or a line of text.
import type { ChoiceClip, Choices } from "./day_api.ts";
import { columnLabel, isNumeric } from "./day_columns.ts";
import { shortNames } from "./day_names.ts";
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

interface Labels {
  clips: Map<string, string>;
  surveys: Map<string, string>;
  own: Set<string>; // surveys of clips' own sheets
}
const labels = new WeakMap<Choices, Labels>();

// What files are called in the lists: found once for all cells.
function labelsOf(choices: Choices): Labels {
  let found = labels.get(choices);
  if (!found) {
    const clips = shortNames(choices.clips.map((clip) => clip.path));
    const files = shortNames(choices.surveys.filter((survey) => survey.clip === null).map((survey) => survey.path), ".survey.json");
    const surveys = new Map(choices.surveys.map((survey) => [survey.path,
      survey.clip === null ? files.get(survey.path) ?? survey.path : words.day.marksOf(clips.get(survey.clip) ?? survey.clip)]));
    found = { clips, surveys, own: new Set(choices.clips.map((clip) => clip.own_survey)) };
    labels.set(choices, found);
  }
  return found;
}

// So many options in a table slow the page down: then each list is filled when it is gone to.
const mostOptions = 2000;

// A select that shows VALUE; OPTIONS are all that may be chosen, SHORT the one that is.
function listOf(day: DayState, label: string, options: (value: string) => HTMLElement[], short: (value: string) => HTMLElement[],
  chosen: (value: string) => void): { field: HTMLSelectElement; show: (value: string) => void } {
  let full = false;
  let shown = "";
  const fill = (): void => {
    if (full) return;
    replace(field, ...options(shown));
    full = true;
  };
  const field = h("select", { "aria-label": label, onpointerdown: fill, onfocus: fill, onchange: () => chosen(field.value) });
  return {
    field,
    show(value) {
      shown = value;
      field.title = value;
      full = day.grid.rows.length * day.choices.clips.length <= mostOptions || document.activeElement === field;
      replace(field, ...(full ? options(value) : short(value)));
    },
  };
}

function clipKind(day: DayState, row: number, label: string): Kind {
  const named = (path: string): string => labelsOf(day.choices).clips.get(path) ?? words.day.notThere(path);
  const none = (value: string): HTMLElement => option("", words.day.chooseClip, value);
  const options = (value: string): HTMLElement[] => {
    const used = new Set(day.values("clip"));
    const there = labelsOf(day.choices).clips.has(value);
    return [none(value), ...(value !== "" && !there ? [option(value, named(value), value)] : []),
      ...day.choices.clips.map(({ path }) => option(path, used.has(path) && path !== value ? words.day.inTable(named(path)) : named(path), value))];
  };
  return listOf(day, label, options, (value) => [value === "" ? none(value) : option(value, named(value), value)],
    (value) => day.setCell(row, "clip", value, words.day.did.cell(columnLabel("clip"))));
}

// Marks: this clip's own, those of other clips' sheets, or a survey file of the folder.
function surveyKind(day: DayState, row: number, label: string): Kind {
  const below = h("a", { class: "cell-link" }, words.day.makeMarks);
  const list = listOf(day, label, (value) => surveyOptions(day, clipOf(day, row), value), (value) => [surveyOption(day, clipOf(day, row), value)],
    (value) => day.setCell(row, "survey", value, words.day.did.cell(columnLabel("survey"))));
  const show = (value: string): void => {
    list.show(value);
    const clip = clipOf(day, row);
    below.hidden = !clip || clip.marked || value !== clip.own_survey;
    if (clip) below.href = `#/sheet/${clip.id}`;
  };
  return { field: list.field, below, show };
}

function surveyOption(day: DayState, clip: ChoiceClip | undefined, value: string): HTMLOptionElement {
  const said = words.day;
  if (value === "") return option(value, said.chooseMarks, value);
  if (value === clip?.own_survey) return option(value, clip.marked ? said.ownMarks : said.ownMarksToMake, value);
  const { surveys, own } = labelsOf(day.choices);
  return option(value, surveys.get(value) ?? (own.has(value) ? said.othersMarksToMake : said.notThere(value)), value);
}

export function surveyOptions(day: DayState, clip: ChoiceClip | undefined, value: string): HTMLElement[] {
  const said = words.day;
  const { surveys } = labelsOf(day.choices);
  const group = (label: string, ofClips: boolean): HTMLElement[] => {
    const options = day.choices.surveys.filter((survey) => (survey.clip !== null) === ofClips && survey.path !== clip?.own_survey)
      .map((survey) => option(survey.path, surveys.get(survey.path) ?? survey.path, value));
    return options.length > 0 ? [h("optgroup", { label }, ...options)] : [];
  };
  const known = value === "" || value === clip?.own_survey || surveys.has(value);
  return [
    option("", said.chooseMarks, value),
    ...(known ? [] : [surveyOption(day, clip, value)]),
    ...(clip ? [option(clip.own_survey, clip.marked ? said.ownMarks : said.ownMarksToMake, value)] : []),
    ...group(said.marksOfOthers, true),
    ...group(said.surveyFiles, false),
  ];
}
