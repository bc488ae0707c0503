// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Other machines of the network: by TLS and with a password, or not at all.
#include "app/run_program.h"
#include "tests/core/temporary_folder.h"
#include "tests/serve/running_page.h"

#include <httplib.h>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

int Ran(const std::vector<std::string>& arguments, std::string* said) {
  std::ostringstream out, err;
  const int status = RunProgram(arguments, {out, err}, {});
  *said = out.str() + err.str();
  return status;
}

TEST(Lan, NeedsAPassword) {
  std::string said;
  EXPECT_EQ(Ran({"serve", "--lan", "--no-browser"}, &said), 4);
  EXPECT_THAT(said, HasSubstr("--password-file"));
  const TemporaryFolder files;
  files.Write("short.txt", "secret\n");
  EXPECT_EQ(Ran({"serve", "--lan", "--no-browser", "--password-file", (files.path() / "short.txt").string()}, &said),
            4);
  EXPECT_THAT(said, HasSubstr("fewer than 8"));
  EXPECT_EQ(Ran({"serve", "--lan", "--no-browser", "--password-file", (files.path() / "none.txt").string()}, &said), 4);
  EXPECT_EQ(Ran({"serve", "--no-browser", "--password-file", (files.path() / "short.txt").string()}, &said), 4);
}

ServeOptions WithPassword() {
  ServeOptions options;
  options.lan = true;
  options.password = "high tide at nine";
  return options;
}

TEST(Lan, ThePasswordLetsInByTlsAlone) {
  const RunningPage page(WithPassword());
  EXPECT_THAT(page.address().address, StartsWith("https://"));
  EXPECT_EQ(page.address().fingerprint.size(), 95U);  // 32 bytes and the colons between
  EXPECT_EQ(page.Raw("GET / HTTP/1.1\r\nHost: " + page.host() + "\r\n\r\n", 2.0).status, 0);  // plain: no answer
  httplib::SSLClient client("127.0.0.1", page.port());
  client.enable_server_certificate_verification(false);
  EXPECT_EQ(client.Get("/api/state")->status, 403);
  const auto asked = client.Get("/");
  EXPECT_EQ(asked->status, 200);
  EXPECT_THAT(asked->body, HasSubstr("type=\"password\""));
  const httplib::Headers ours = {{"Origin", "https://" + page.host()}};
  const char* const form = "application/x-www-form-urlencoded";
  EXPECT_EQ(client.Post("/enter", ours, "password=low+tide", form)->status, 403);
  EXPECT_EQ(client.Post("/enter", {{"Origin", "https://rebound.example"}}, "password=high+tide+at+nine", form)->status,
            403);
  const auto entered = client.Post("/enter", ours, "password=high+tide+at+nine", form);
  ASSERT_EQ(entered->status, 303);
  const std::string cookie = entered->get_header_value("Set-Cookie");
  EXPECT_THAT(cookie, HasSubstr("Secure"));
  const auto state = client.Get("/api/state", {{"Cookie", cookie.substr(0, cookie.find(';'))}});
  EXPECT_EQ(state->status, 200);
  EXPECT_THAT(state->body, HasSubstr("\"lan\":true"));
}

TEST(Lan, GuessingIsSlow) {
  const RunningPage page(WithPassword());
  httplib::SSLClient client("127.0.0.1", page.port());
  client.enable_server_certificate_verification(false);
  const httplib::Headers ours = {{"Origin", "https://" + page.host()}};
  int let_wait = 0;
  for (int i = 0; i < 20; ++i) {
    const auto reply =
        client.Post("/enter", ours, "password=" + std::to_string(i), "application/x-www-form-urlencoded");
    ASSERT_TRUE(reply);
    EXPECT_THAT(reply->status, ::testing::AnyOf(403, 429));
    let_wait += reply->status == 429 ? 1 : 0;
  }
  EXPECT_GE(let_wait, 10);
}

TEST(Lan, SaysWhatIsWrongWithACertificate) {
  const TemporaryFolder files;
  files.Write("not.pem", "no certificate\n");
  ServeOptions options = WithPassword();
  options.certificate = options.private_key = files.path() / "not.pem";
  const Status status = ServePage(options, [](const ServeAddress&) { FAIL(); }, {});
  ASSERT_FALSE(status);
  EXPECT_EQ(status.error().code, "bad-certificate");
}

TEST(Serve, SaysWhyAPortOrFolderCannotBeUsed) {
  const RunningPage page;
  std::string said;
  EXPECT_EQ(
      Ran({"serve", "--no-browser", "--folder", page.folder().string(), "--port", std::to_string(page.port())}, &said),
      4);
  EXPECT_THAT(said, HasSubstr("Port"));
  EXPECT_EQ(Ran({"serve", "--no-browser", "--folder", "/no/such/folder"}, &said), 4);
  EXPECT_EQ(Ran({"serve", "--no-browser", "--port", "70000"}, &said), 4);
}

}  // namespace
}  // namespace loftline::test
