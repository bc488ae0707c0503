// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/json_file.h"
#include "tests/core/temporary_folder.h"

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using Json = nlohmann::ordered_json;
using testing::HasSubstr;

TEST(JsonText, IsMeantForPeopleToo) {
  Json json;
  json["format"] = "loftline.survey";
  json["image"] = {{"width_px", 1920}, {"empty", Json::object()}};
  json["from_px"] = {412.3, 880.1};
  json["marks"] = Json::array({Json{{"lies", "level"}}, Json{{"lies", "plumb"}}});
  json["none"] = nullptr;
  json["rows"] = Json::array();
  json["nested"] = Json::array({Json::array({1, 2}), Json::array({3, 4})});
  EXPECT_EQ(*JsonText(json), R"({
  "format": "loftline.survey",
  "image": {
    "width_px": 1920,
    "empty": {}
  },
  "from_px": [412.3, 880.1],
  "marks": [
    {
      "lies": "level"
    },
    {
      "lies": "plumb"
    }
  ],
  "none": null,
  "rows": [],
  "nested": [
    [1, 2],
    [3, 4]
  ]
}
)");
}

struct NumberCase {
  double value;
  const char* text;
};

TEST(JsonText, NumbersAreShortest) {
  const NumberCase cases[] = {
      {0.1, "0.1"},
      {10.0, "10"},
      {1.0 / 3.0, "0.3333333333333333"},
      {-2.5e-7, "-2.5e-07"},
      {5e-324, "5e-324"},  // the smallest double
      {1.7976931348623157e308, "1.7976931348623157e+308"},
      {9007199254740993.0, "9007199254740992"},
      {2e23, "2e+23"},  // a classic where shortest and nearest part
      {9.5367431640625e-07, "9.5367431640625e-07"},
  };
  for (const NumberCase& one : cases) EXPECT_EQ(*JsonText(Json(one.value)), std::string(one.text) + "\n");
}

TEST(JsonText, EveryNumberReadsBackTheSame) {
  std::mt19937_64 random(20260501);
  int checked = 0;
  while (checked < 20000) {
    const double value = std::bit_cast<double>(static_cast<std::uint64_t>(random()));
    if (!std::isfinite(value)) continue;
    ++checked;
    const std::string text = *JsonText(Json{{"v", value}});
    const Expected<JsonDocument> document = ParseJson(text, "v.json");
    ASSERT_TRUE(document) << text;
    ASSERT_EQ(std::bit_cast<std::uint64_t>(document->root().Number("v")), std::bit_cast<std::uint64_t>(value)) << text;
    ASSERT_EQ(Json::parse(text)["v"].get<double>(), value) << text;
  }
}

TEST(JsonText, NumbersThatAreNotFiniteAreNamed) {
  for (const double value : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
    Json json;
    json["path"] = Json::array({Json{{"x_m", 1.0}}, Json{{"x_m", value}}});
    const Expected<std::string> text = JsonText(json);
    ASSERT_FALSE(text);
    EXPECT_EQ(text.error().code, "not-finite");
    EXPECT_EQ(text.error().kind, ErrorKind::kInternal);
    EXPECT_EQ(text.error().key, "path[1].x_m");
  }
}

TEST(JsonText, TextIsEscapedAndStaysUtf8) {
  EXPECT_EQ(*JsonText(Json("a\"b\\c\n\x01 ä")), "\"a\\\"b\\\\c\\n\\u0001 ä\"\n");
  EXPECT_EQ(*JsonText(Json("clip\xFF.mp4")), "\"clip\uFFFD.mp4\"\n");
}

TEST(WriteJson, WritesAllOrNothing) {
  const TemporaryFolder folder;
  const std::filesystem::path path = folder.path() / "a.json";
  ASSERT_TRUE(WriteJson(path, Json{{"a", 1}}));
  const Status bad = WriteJson(path, Json{{"a", std::numeric_limits<double>::quiet_NaN()}});
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().file, path.string());
  EXPECT_EQ(BytesOf(path), "{\n  \"a\": 1\n}\n");
  EXPECT_EQ(WriteJson(folder.path() / "missing" / "a.json", Json{}).error().code, "cannot-write");
  EXPECT_EQ(folder.CountFiles(), 1U);
}

}  // namespace
}  // namespace loftline
