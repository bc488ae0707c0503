// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "core/json_file.h"

#include "tests/core/temporary_folder.h"

#include <functional>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

Error ParseError(const std::string& text) {
  const Expected<JsonDocument> document = ParseJson(text, "field.json");
  if (document) {
    ADD_FAILURE() << "was read: " << text;
    return {};
  }
  return document.error();
}

// What Finish() says after READ has asked for what it wants.
Error FinishError(const std::string& text, const std::function<void(JsonObject&)>& read) {
  const Expected<JsonDocument> document = ParseJson(text, "field.json");
  if (!document) {
    ADD_FAILURE() << Describe(document.error());
    return {};
  }
  JsonObject root = document->root();
  read(root);
  const Status status = document->Finish();
  if (status) ADD_FAILURE() << "no error in " << text;
  return status ? Error{} : status.error();
}

TEST(ReadJson, Nominal) {
  const TemporaryFolder folder;
  const Expected<JsonDocument> document = ReadJson(folder.Write("a.json", R"({
    "image": {"width_px": 1920, "frame": 2.0},
    "marks": [{"kind": "line", "from_px": [300, 200.5]}, {"kind": "point", "to_px": null}],
    "done": true, "capture_rate_hz": null, "extra": {"any": [1, {"b": 2}]}})"));
  ASSERT_TRUE(document);
  JsonObject root = document->root();
  EXPECT_THAT(root.Keys(), ElementsAre("image", "marks", "done", "capture_rate_hz", "extra"));
  std::optional<JsonObject> image = root.Child("image");
  ASSERT_TRUE(image);
  EXPECT_EQ(image->Integer("width_px"), 1920);
  EXPECT_EQ(image->OptionalInteger("frame"), 2);
  EXPECT_EQ(image->OptionalInteger("height_px"), std::nullopt);
  std::vector<JsonObject> marks = root.Children("marks");
  ASSERT_EQ(marks.size(), 2U);
  EXPECT_EQ(marks[0].Text("kind"), "line");
  EXPECT_THAT(marks[0].Numbers("from_px", 2), ElementsAre(300, 200.5));
  EXPECT_EQ(marks[1].OptionalText("kind"), "point");
  EXPECT_EQ(marks[1].OptionalNumbers("to_px", 2), std::nullopt);
  EXPECT_TRUE(root.Boolean("done"));
  EXPECT_FALSE(root.Has("capture_rate_hz"));
  EXPECT_EQ(root.OptionalNumber("capture_rate_hz"), std::nullopt);
  EXPECT_EQ(root.Child("absent").has_value(), false);
  EXPECT_TRUE(root.Children("absent").empty());
  root.Ignore("extra");
  const Status status = document->Finish();
  EXPECT_TRUE(status) << Describe(status.error());
}

struct BrokenCase {
  std::string text;
  int line;
  const char* key;
  const char* says;
};

TEST(ParseJson, SyntaxErrorsNameLineAndKey) {
  const BrokenCase cases[] = {
      {"", 1, "", "not valid JSON"},
      {"\n\n", 2, "", "not valid JSON"},
      {"{\n\"a\": 1,\n}", 3, "a", "not valid JSON"},
      {"{\n\"a\": 1\n\"b\": 2}", 3, "a", "not valid JSON"},
      {"{\"a\": [1, 2,\n\n oops]}", 3, "a[2]", "not valid JSON"},
      {"{\"a\": {\n\"b\": NaN}}", 2, "a.b", "NaN and infinity"},
      {"{\"a\":\n Infinity}", 2, "a", "NaN and infinity"},
      {"{\"a\": nan}", 1, "a", "NaN and infinity"},
      {"{\"a\": -inf}", 1, "a", "NaN and infinity"},
      {"{\"a\": [0, -Infinity]}", 1, "a[1]", "NaN and infinity"},
      {"{\n\"a\": 1e999}", 2, "a", "larger than a double"},
      {"{\n\"a\":\n-1e999\n}", 3, "a", "larger than a double"},
      {"{\"a\": 1,\n \"a\": 2}", 2, "a", "twice"},
      {"{\"m\": [{\"x\": 1}, {\"x\": 1,\n\"y\": 2, \"x\": 3}]}", 2, "m[1].x", "twice"},
      {"{\"a\": \"\xFF\"}", 1, "a", "UTF-8"},
      {"{\"a\": \"\xED\xA0\x80\"}", 1, "a", "UTF-8"},
      {"{\"a\": \"two\nlines\"}", 1, "a", "not valid JSON"},
      {"{\"a\": 01}", 1, "a", "not valid JSON"},
      {"{\"a\": 'x'}", 1, "a", "not valid JSON"},
      {"{\"a\": 1} // note", 1, "", "not valid JSON"},
      {"{\"a\": 1}\n{\"b\": 2}", 2, "", "not valid JSON"},
      {"[1, 2]", 1, "", "must hold an object"},
      {"\n\"text\"", 2, "", "must hold an object"},
      {"null", 1, "", "must hold an object"},
      {std::string("{\"a\0b\": 1}", 10), 1, "", "not valid JSON"},
      {std::string("\x89PNG\r\n\x1A\n\0\0\0\rIHDR", 16), 1, "", "not valid JSON"},
  };
  for (const BrokenCase& one : cases) {
    SCOPED_TRACE(one.text);
    const Error error = ParseError(one.text);
    EXPECT_EQ(error.code, "bad-json");
    EXPECT_EQ(error.kind, ErrorKind::kInvalidInput);
    EXPECT_EQ(error.file, "field.json");
    EXPECT_EQ(error.line, one.line);
    EXPECT_EQ(error.key, one.key);
    EXPECT_THAT(error.message, HasSubstr(one.says));
    EXPECT_THAT(error.message, Not(HasSubstr("json.exception")));
  }
}

TEST(ParseJson, RefusesDeepNestingWithoutExhaustingTheStack) {
  const std::string deep = "{\"a\":" + std::string(2000000, '[');
  EXPECT_THAT(ParseError(deep).message, HasSubstr("64 deep"));
  EXPECT_TRUE(ParseJson("{\"a\":" + std::string(60, '[') + std::string(60, ']') + "}", "f"));
}

TEST(ReadJson, RefusesHugeFilesAndFolders) {
  const TemporaryFolder folder;
  const std::filesystem::path huge = folder.Write("clip.mp4", "");
  std::filesystem::resize_file(huge, std::uintmax_t{65} << 20);  // sparse: takes no room
  for (const auto& path : {huge, folder.path(), folder.path() / "missing.json"}) {
    const Expected<JsonDocument> document = ReadJson(path);
    ASSERT_FALSE(document);
    EXPECT_EQ(document.error().code, "cannot-read");
    EXPECT_EQ(document.error().file, path.string());
  }
}

TEST(JsonObject, MissingKeysAreNamed) {
  const Error error = FinishError("{\n\"marks\": [{},\n{\n\"lenght_m\": 10}]}", [](JsonObject& root) {
    std::vector<JsonObject> marks = root.Children("marks");
    EXPECT_EQ(marks[1].Number("length_m"), 0.0);
  });
  EXPECT_EQ(error.code, "missing-key");
  EXPECT_EQ(error.line, 3);
  EXPECT_EQ(error.key, "marks[1].length_m");
  EXPECT_THAT(error.advice, HasSubstr("\"lenght_m\""));
}

TEST(JsonObject, UnknownKeysAreNamedWithTheLikelyMeaning) {
  const Error error = FinishError("{\"image\": {\n\"width_px\": 3,\n\"heigth_px\": 2}}", [](JsonObject& root) {
    std::optional<JsonObject> image = root.Child("image");
    image->Integer("width_px");
    image->OptionalInteger("height_px");
  });
  EXPECT_EQ(error.code, "unknown-key");
  EXPECT_EQ(error.line, 3);
  EXPECT_EQ(error.key, "image.heigth_px");
  EXPECT_EQ(error.advice, "Did you mean \"height_px\"?");
}

TEST(JsonObject, UnknownKeysBelowArraysAndUnreadObjectsAreFound) {
  const Error in_array = FinishError("{\"marks\": [{\"a\": 1}, {\"b\": 1}]}", [](JsonObject& root) {
    for (JsonObject& mark : root.Children("marks")) mark.OptionalNumber("a");
  });
  EXPECT_EQ(in_array.key, "marks[1].b");
  const Error unread = FinishError("{\"a\": 1,\n\"b\": null}", [](JsonObject& root) { root.Number("a"); });
  EXPECT_EQ(unread.key, "b");
  EXPECT_EQ(unread.line, 2);
}

TEST(JsonObject, WrongTypesSayWhatIsWantedAndWhatIsThere) {
  struct TypeCase {
    const char* value;
    std::function<void(JsonObject&)> read;
    const char* wanted;
  };
  const auto number = [](JsonObject& o) { o.Number("a"); };
  const auto integer = [](JsonObject& o) { o.OptionalInteger("a"); };
  const auto text = [](JsonObject& o) { o.Text("a"); };
  const auto pair = [](JsonObject& o) { EXPECT_EQ(o.Numbers("a", 2).size(), 2U); };
  const auto child = [](JsonObject& o) { EXPECT_FALSE(o.Child("a")); };
  const auto children = [](JsonObject& o) { EXPECT_TRUE(o.Children("a").empty()); };
  const auto boolean = [](JsonObject& o) { o.Boolean("a"); };
  const TypeCase cases[] = {
      {"\"10 m\"", number, "must be a number, but is the text \"10 m\""},
      {"null", number, "must be a number, but is null"},
      {"true", number, "must be a number, but is true"},
      {"[1]", number, "must be a number, but is an array"},
      {"1.5", integer, "must be a whole number, but is the number 1.5"},
      {"3e9", integer, "must be a whole number"},
      {"-18446744073709551616", integer, "must be a whole number"},
      {"1", text, "must be a text in quotes, but is the number 1"},
      {"[1]", pair, "must be an array of 2 numbers"},
      {"[1, 2, 3]", pair, "must be an array of 2 numbers"},
      {"[1, \"2\"]", pair, "must be an array of 2 numbers"},
      {"5", pair, "must be an array of 2 numbers, but is the number 5"},
      {"[]", child, "must be an object in braces, but is an array"},
      {"{}", children, "must be an array of objects, but is an object"},
      {"[{}, 1]", children, "must be an array of objects"},
      {"0", boolean, "must be true or false, but is the number 0"},
  };
  for (const TypeCase& one : cases) {
    SCOPED_TRACE(one.value);
    const Error error = FinishError(std::string("{\n\n\"a\": ") + one.value + "\n}", one.read);
    EXPECT_EQ(error.code, "bad-value");
    EXPECT_EQ(error.line, 3);
    EXPECT_EQ(error.key, "a");
    EXPECT_THAT(error.message, HasSubstr(one.wanted));
  }
}

TEST(JsonObject, TheFirstTroubleIsKeptAndTheRestReadsAsZero) {
  const Error error = FinishError("{\"a\": \"x\", \"b\": [1, 2], \"c\": {\"d\": 1}, \"e\": 3}", [](JsonObject& root) {
    root.Number("a");
    EXPECT_EQ(root.Number("e"), 0.0);
    EXPECT_THAT(root.Numbers("b", 2), ElementsAre(0, 0));
    EXPECT_FALSE(root.Child("c"));
    root.Text("missing");
    root.Reject("e", "Three is too many.", "");
  });
  EXPECT_EQ(error.key, "a");
}

TEST(JsonObject, CallersCanRejectValues) {
  const Error error = FinishError("{\"m\": [\n{\"length_m\":\n-3}]}", [](JsonObject& root) {
    JsonObject mark = root.Children("m")[0];
    if (mark.Number("length_m") <= 0.0) mark.Reject("length_m", "The length must be above zero.", "Correct it.");
  });
  EXPECT_EQ(Describe(error), "field.json:3: m[0].length_m: The length must be above zero. Correct it.");
  const Expected<JsonDocument> document = ParseJson("{\n\"marks\":\n[]}", "f.json");
  const Error own = document->root().ErrorAt("marks", "no-scale", "No scale.", "Mark a length.");
  EXPECT_EQ(own.code, "no-scale");
  EXPECT_EQ(own.line, 3);
}

TEST(CheckFormat, AcceptsItsOwnAndNamesOthers) {
  const auto check = [](const std::string& text) {
    const Expected<JsonDocument> document = ParseJson(text, "a.json");
    JsonObject root = document->root();
    return CheckFormat(root, "loftline.survey", 1);
  };
  EXPECT_TRUE(check(R"({"format": "loftline.survey", "format_version": 1})"));
  EXPECT_EQ(check(R"({"format": "loftline.result", "format_version": 1})").error().code, "bad-format");
  EXPECT_THAT(check(R"({"format": "loftline.result"})").error().message, HasSubstr("\"loftline.result\""));
  EXPECT_EQ(check(R"({"format": 5})").error().code, "bad-format");
  EXPECT_EQ(check(R"({})").error().code, "bad-format");
  const Error newer = check("{\"format\": \"loftline.survey\",\n \"format_version\": 2}").error();
  EXPECT_EQ(newer.code, "bad-version");
  EXPECT_EQ(newer.line, 2);
  EXPECT_THAT(newer.message, HasSubstr("version is 2"));
  EXPECT_EQ(check(R"({"format": "loftline.survey"})").error().code, "bad-version");
  EXPECT_EQ(check(R"({"format": "loftline.survey", "format_version": "1"})").error().code, "bad-version");
}

}  // namespace
}  // namespace loftline
