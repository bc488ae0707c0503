// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// The parsers meet what students, spreadsheets and broken copies hand them: each spoilt text must give a finite value
// or an error that can be shown to somebody, and nothing else. Seeds are fixed, so that a failure comes back.
#include "core/csv_file.h"
#include "core/json_file.h"
#include "core/text.h"
#include "core/units.h"

#include <cmath>
#include <random>
#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

// A few random edits: bytes changed, taken out, doubled, or swapped for one with a meaning in some grammar.
std::string Spoilt(std::string text, std::mt19937& random) {
  static constexpr std::string_view kTelling = "{}[]\",:;#\n\r\t +-./%0123456789eE\\\xC2\xB1\xE2\x88\x92\xFF'";
  const int edits = 1 + static_cast<int>(random() % 4);
  for (int i = 0; i < edits && !text.empty(); ++i) {
    const std::size_t at = random() % text.size();
    switch (random() % 4) {
      case 0:
        text[at] = static_cast<char>(random() % 256);
        break;
      case 1:
        text.erase(at, 1 + random() % 5);
        break;
      case 2:
        text.insert(at, text.substr(random() % text.size(), random() % 12));
        break;
      default:
        text.insert(at, 1, kTelling[random() % kTelling.size()]);
    }
  }
  return text;
}

void ExpectPresentable(const Error& error, const std::string& text) {
  EXPECT_FALSE(error.code.empty()) << Quoted(text);
  EXPECT_FALSE(error.message.empty()) << Quoted(text);
  EXPECT_FALSE(FirstBadUtf8(Describe(error)).has_value()) << Quoted(text);
  EXPECT_EQ(Describe(error).find('\n'), std::string::npos) << Quoted(text);
  EXPECT_LT(error.message.size(), 1000U) << Quoted(text);
}

constexpr int kRounds = 20000;

TEST(SpoiltInput, Quantities) {
  std::mt19937 random(1);
  const std::string seeds[] = {
      "8.2 ± 0.1 g", "1 1/2 in", "32 ft 10 in +- 1/4 in", "−18 °C", "1009,25 hPa", "8.2 g +- 2 %"};
  int read = 0;
  for (int i = 0; i < kRounds; ++i) {
    const std::string text = Spoilt(seeds[random() % std::size(seeds)], random);
    for (const Dimension dimension :
         {Dimension::kMass, Dimension::kLength, Dimension::kTemperature, Dimension::kPressure}) {
      const Expected<Quantity> quantity = ParseQuantity(text, dimension);
      if (!quantity) {
        ExpectPresentable(quantity.error(), text);
        continue;
      }
      ++read;
      EXPECT_TRUE(std::isfinite(quantity->value)) << text;
      if (quantity->std) {
        EXPECT_TRUE(std::isfinite(*quantity->std) && *quantity->std > 0.0) << text;
      }
    }
  }
  EXPECT_GT(read, 100);  // the edits are mild enough to try both outcomes
}

TEST(SpoiltInput, Json) {
  std::mt19937 random(2);
  const std::string seed = R"({"format": "loftline.survey", "image": {"width_px": 1920, "frame": 0},
 "marks": [{"kind": "line", "from_px": [300, 2e2], "ok": true}, {"at_m": [0.0, -1.5]}], "none": null, "text": "ä\n\u00e9"})";
  int read = 0;
  for (int i = 0; i < kRounds; ++i) {
    const std::string text = Spoilt(seed, random);
    const Expected<JsonDocument> document = ParseJson(text, "a.json");
    if (!document) {
      ExpectPresentable(document.error(), text);
      continue;
    }
    ++read;
    JsonObject root = document->root();
    root.OptionalText("format");
    if (std::optional<JsonObject> image = root.Child("image")) {
      EXPECT_TRUE(std::isfinite(image->Number("width_px")));
    }
    for (JsonObject& mark : root.Children("marks")) EXPECT_EQ(mark.Numbers("from_px", 2).size(), 2U);
    const Status status = document->Finish();
    ASSERT_FALSE(status);  // "none" and "text" are never asked for, so something is always to be said
    ExpectPresentable(status.error(), text);
  }
  EXPECT_GT(read, 100);
}

TEST(SpoiltInput, Csv) {
  std::mt19937 random(3);
  const std::string seed = "# day\nclip,mass_g,note\na.mp4,8.2,\"two \"\"words\"\", here\"\r\nb.mp4,8.4,\n";
  const CsvRules anything = {.required = {}, .optional = {}, .others_allowed = true};
  int read = 0;
  for (int i = 0; i < kRounds; ++i) {
    const std::string text = Spoilt(seed, random);
    const Expected<CsvTable> table = ParseCsv(text, "day.csv", anything);
    if (!table) {
      ExpectPresentable(table.error(), text);
      continue;
    }
    ++read;
    for (const CsvRow& row : table->rows) {
      EXPECT_EQ(row.cells.size(), table->columns.size());
      const Expected<double> number = table->Number(row, table->columns.back());
      if (number) {
        EXPECT_TRUE(std::isfinite(*number));
      } else {
        ExpectPresentable(number.error(), text);
      }
      const std::string again = CsvLine(table->columns) + "\n" + CsvLine(row.cells) + "\n";
      const Expected<CsvTable> back = ParseCsv(again, "again.csv", anything);
      ASSERT_TRUE(back) << Describe(back.error()) << Quoted(again);
      EXPECT_EQ(back->rows[0].cells, row.cells) << Quoted(again);
    }
  }
  EXPECT_GT(read, 100);
}

}  // namespace
}  // namespace loftline
