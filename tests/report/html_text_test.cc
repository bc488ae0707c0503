// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "report/html_text.h"

#include <string>

#include <gtest/gtest.h>

namespace loftline {
namespace {

TEST(EscapeHtml, DisarmsMarkup) {
  EXPECT_EQ(EscapeHtml("<script>alert('&\"')</script>"), "&lt;script&gt;alert(&#39;&amp;&quot;&#39;)&lt;/script&gt;");
}

TEST(EscapeHtml, ReplacesWhatIsNoText) {
  EXPECT_EQ(EscapeHtml("a\x01\x7f"
                       "b"),
            "a\uFFFD\uFFFDb");
  EXPECT_EQ(EscapeHtml("a\xff\xc3"), "a\uFFFD\uFFFD");
  EXPECT_EQ(EscapeHtml("\xc0\xaf"), "\uFFFD\uFFFD");             // overlong slash
  EXPECT_EQ(EscapeHtml("\xed\xa0\x80").substr(0, 3), "\uFFFD");  // half a surrogate pair
  EXPECT_EQ(EscapeHtml("Flügel 🚀 高い"), "Flügel 🚀 高い");
}

TEST(EscapeJsonForScript, CannotEndTheElement) {
  EXPECT_EQ(EscapeJsonForScript(R"({"a":"</script>"})"), R"({"a":"\u003c/script>"})");
}

// RFC 4648, section 10, test vectors.
TEST(DataUri, EncodesTheVectorsOfTheStandard) {
  const std::pair<const char*, const char*> cases[] = {{"", ""},
                                                       {"f", "Zg=="},
                                                       {"fo", "Zm8="},
                                                       {"foo", "Zm9v"},
                                                       {"foob", "Zm9vYg=="},
                                                       {"fooba", "Zm9vYmE="},
                                                       {"foobar", "Zm9vYmFy"}};
  for (const auto& [bytes, text] : cases)
    EXPECT_EQ(DataUri("text/plain", bytes), std::string("data:text/plain;base64,") + text);
}

}  // namespace
}  // namespace loftline
