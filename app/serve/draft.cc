// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/draft.h"

#include "calibrate/survey_json.h"
#include "core/json_file.h"

#include <algorithm>
#include <string_view>
#include <utility>

namespace loftline {
namespace {

constexpr std::size_t kMostMarks = 64;
constexpr std::size_t kMostPlaces = 2000;
constexpr std::size_t kLongestText = 200;

std::string Text(JsonObject& object, std::string_view key) {
  std::string text = object.OptionalText(key).value_or("");
  if (text.size() > kLongestText) object.Reject(key, "It is too long.", "Write a number and its unit.");
  return text;
}

std::string Word(JsonObject& object, std::string_view key, const std::vector<std::string_view>& words) {
  std::string word = object.OptionalText(key).value_or(std::string(words.front()));
  if (std::find(words.begin(), words.end(), word) == words.end()) {
    object.Reject(key, "That word is not known here.", "Load the page anew.");
  }
  return word;
}

int Frame(JsonObject& object) {
  const int frame = object.OptionalInteger("frame").value_or(0);
  if (frame < 0) object.Reject("frame", "There is no frame before 0.", "Frames count from 0.");
  return frame;
}

// The objects under KEY, at most MOST of them.
std::vector<JsonObject> Some(JsonObject& object, std::string_view key, std::size_t most) {
  std::vector<JsonObject> children = object.Children(key);
  if (children.size() > most) {
    object.Reject(key, "There are too many.", "Take some away.");
    children.resize(most, children.front());
  }
  return children;
}

nlohmann::ordered_json PlaceAsJson(const Draft::Place& place) {
  if (!place) return nullptr;
  return {place->x(), place->y()};
}

}  // namespace

Draft TakeDraft(JsonObject& object) {
  Draft draft;
  draft.frame = Frame(object);
  for (JsonObject& one : Some(object, "baselines", kMostMarks)) {
    draft.baselines.push_back({OptionalPair(one, "from_px"),
                               OptionalPair(one, "to_px"),
                               Text(one, "length"),
                               Word(one, "lies", {"free", "level", "plumb"}),
                               Text(one, "depth_offset")});
  }
  for (JsonObject& one : Some(object, "lines", kMostMarks)) {
    draft.lines.push_back(
        {OptionalPair(one, "from_px"), OptionalPair(one, "to_px"), Word(one, "lies", {"plumb", "level"})});
  }
  for (JsonObject& one : Some(object, "points", kMostMarks)) {
    draft.points.push_back({OptionalPair(one, "px"), Text(one, "across"), Text(one, "up")});
  }
  draft.launch_px = OptionalPair(object, "launch_px");
  for (const DraftText& text : kDraftTexts) draft.*text.member = Text(object, text.key);
  for (JsonObject& one : Some(object, "marked", kMostPlaces)) {
    draft.marked.push_back({Frame(one), Pair(one, "at_px")});
  }
  for (JsonObject& one : Some(object, "edits", kMostPlaces)) {
    Draft::Edit edit{Frame(one), Word(one, "kind", {"drop", "move", "add"}), OptionalPair(one, "at_px")};
    if (edit.kind != "drop" && !edit.at_px) one.Reject("at_px", "It says not where.", "Give x and y in pixels.");
    draft.edits.push_back(std::move(edit));
  }
  return draft;
}

nlohmann::ordered_json DraftAsJson(const Draft& draft) {
  using Json = nlohmann::ordered_json;
  Json json = {
      {"frame", draft.frame}, {"baselines", Json::array()}, {"lines", Json::array()}, {"points", Json::array()}};
  for (const Draft::Baseline& one : draft.baselines) {
    json["baselines"].push_back({{"from_px", PlaceAsJson(one.from_px)},
                                 {"to_px", PlaceAsJson(one.to_px)},
                                 {"length", one.length},
                                 {"lies", one.lies},
                                 {"depth_offset", one.depth_offset}});
  }
  for (const Draft::Line& one : draft.lines) {
    json["lines"].push_back(
        {{"from_px", PlaceAsJson(one.from_px)}, {"to_px", PlaceAsJson(one.to_px)}, {"lies", one.lies}});
  }
  for (const Draft::Point& one : draft.points) {
    json["points"].push_back({{"px", PlaceAsJson(one.px)}, {"across", one.across}, {"up", one.up}});
  }
  json["launch_px"] = PlaceAsJson(draft.launch_px);
  for (const DraftText& text : kDraftTexts) json[text.key] = draft.*text.member;
  json["marked"] = Json::array();
  for (const Draft::Marked& one : draft.marked) {
    json["marked"].push_back({{"frame", one.frame}, {"at_px", {one.at_px.x(), one.at_px.y()}}});
  }
  json["edits"] = Json::array();
  for (const Draft::Edit& one : draft.edits) {
    json["edits"].push_back({{"frame", one.frame}, {"kind", one.kind}, {"at_px", PlaceAsJson(one.at_px)}});
  }
  return json;
}

}  // namespace loftline
