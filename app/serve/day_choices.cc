// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/day_choices.h"

#include "app/serve/day_paths.h"

#include <algorithm>
#include <map>

namespace loftline {

nlohmann::ordered_json ChoicesAsJson(const WorkFolder& folder) {
  using Json = nlohmann::ordered_json;
  const std::vector<std::string> surveys = SurveysOf(folder.path());
  std::map<std::string, std::string> clip_of;
  Json clips = Json::array(), list = Json::array();
  for (const FolderClip& clip : folder.Clips()) {
    const std::string file = std::filesystem::path(clip.name).stem().string() + ".survey.json";
    const std::string own = (folder.SheetFolder(clip) / file).lexically_relative(folder.path()).generic_string();
    clip_of[own] = clip.in_folder;
    clips.push_back({{"path", clip.in_folder},
                     {"name", clip.name},
                     {"id", clip.id},
                     {"own_survey", own},
                     {"marked", std::ranges::count(surveys, own) > 0}});
  }
  for (const std::string& survey : surveys) {
    const auto clip = clip_of.find(survey);
    list.push_back({{"path", survey}, {"clip", clip == clip_of.end() ? Json() : Json(clip->second)}});
  }
  return {{"clips", std::move(clips)}, {"surveys", std::move(list)}};
}

}  // namespace loftline
