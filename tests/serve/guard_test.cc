// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Who must not come in, and what must not be taken: each refused, and the page answers on. The attacks are those that
// any web server is tried with (OWASP's Web Security Testing Guide names them: path traversal, host header injection,
// cross-site request forgery, request smuggling, slow requests); the wordings here are ours.
#include "tests/serve/running_page.h"

#include <array>
#include <random>
#include <sys/socket.h>
#include <thread>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace loftline::test {
namespace {

using ::testing::AnyOf;
using ::testing::HasSubstr;
using ::testing::Not;

const std::filesystem::path kClip = std::filesystem::path(LOFTLINE_SOURCE_DIR) / "sample-clips/clips/01-whole-arc.mp4";

TEST(Guard, OnlyThePrintedAddressLetsIn) {
  const RunningPage page;
  const auto without = [&](const std::string& target, const std::string& extra) {
    return page.Raw(fmt::format("GET {} HTTP/1.1\r\nHost: {}\r\n{}\r\n", target, page.host(), extra)).status;
  };
  EXPECT_EQ(without("/", ""), 403);
  EXPECT_EQ(without("/api/state", ""), 403);
  EXPECT_EQ(without("/page/app.js", ""), 403);
  EXPECT_EQ(without("/?token=" + std::string(64, '0'), ""), 403);
  EXPECT_EQ(without("/?token=" + page.token().substr(0, 63), ""), 403);
  EXPECT_EQ(without("/api/state?token=" + page.token(), ""), 403);
  EXPECT_EQ(without("/api/state", "Cookie: loftline-" + std::to_string(page.port()) + "=" + page.token() + "\r\n"),
            403);
  EXPECT_EQ(without("/?token=" + page.token(), ""), 303);
  EXPECT_EQ(page.Ask("GET", "/api/state").status, 200);
}

TEST(Guard, TheCookieStaysInThisBrowserAndOnThisSite) {
  const RunningPage page;
  const Reply entered = page.Raw(fmt::format("GET /?token={} HTTP/1.1\r\nHost: {}\r\n\r\n", page.token(), page.host()));
  EXPECT_THAT(entered.Header("Set-Cookie"), HasSubstr("HttpOnly"));
  EXPECT_THAT(entered.Header("Set-Cookie"), HasSubstr("SameSite=Strict"));
  EXPECT_THAT(entered.Header("Set-Cookie"), Not(HasSubstr(page.token())));
  EXPECT_EQ(entered.Header("Location"), "/");  // the token leaves the address bar
}

TEST(Guard, TokensDifferFromStartToStart) {
  const RunningPage one, other;
  EXPECT_NE(one.token(), other.token());
  EXPECT_EQ(one.token().size(), 64U);
  const Reply reply =
      other.Raw(fmt::format("GET /api/state HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\r\n", other.host(), one.cookie()));
  EXPECT_EQ(reply.status, 403);
}

TEST(Guard, RefusesForeignHosts) {
  const RunningPage page;
  for (const std::string& host : std::vector<std::string>{"rebound.example",
                                                          "rebound.example:" + std::to_string(page.port()),
                                                          "127.0.0.1",
                                                          "127.0.0.1:1",
                                                          "127.0.0.1.rebound.example:" + std::to_string(page.port()),
                                                          ""}) {
    const Reply reply =
        page.Raw(fmt::format("GET /api/state HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\r\n", host, page.cookie()));
    EXPECT_EQ(reply.status, 403) << host;
  }
  const std::string twice =
      fmt::format("GET /api/state HTTP/1.1\r\nHost: {0}\r\nHost: rebound.example\r\nCookie: {1}\r\n\r\n",
                  page.host(),
                  page.cookie());
  EXPECT_EQ(page.Raw(twice).status, 403);
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, OnlyItsOwnPageMayChangeSomething) {
  const RunningPage page;
  const auto post = [&](const std::string& headers) {
    return page
        .Raw(fmt::format("POST /api/days HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n{}Content-Length: 14\r\n\r\n{}",
                         page.host(),
                         page.cookie(),
                         headers,
                         R"({"name": "One"})"))
        .status;
  };
  EXPECT_EQ(post(""), 403);
  EXPECT_EQ(post("Origin: null\r\n"), 403);
  EXPECT_EQ(post("Origin: http://rebound.example\r\n"), 403);
  EXPECT_EQ(post("Origin: https://" + page.host() + "\r\n"), 403);
  EXPECT_EQ(post("Origin: http://127.0.0.1:1\r\n"), 403);
  EXPECT_EQ(post("Origin: http://" + page.host() + "\r\nOrigin: http://rebound.example\r\n"), 403);
  EXPECT_EQ(post("Origin: http://" + page.host() + "\r\nSec-Fetch-Site: cross-site\r\n"), 403);
  EXPECT_EQ(page.Ask("GET", "/api/days").Json()["days"].size(), 0U);
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, AnotherSiteMayNotReadOrFrame) {
  const RunningPage page;
  const Reply read = page.Raw(page.Request("GET", "/api/clips", "", "Sec-Fetch-Site: cross-site\r\n"));
  EXPECT_EQ(read.status, 403);
  const Reply own = page.Ask("GET", "/");
  EXPECT_EQ(own.status, 200);
  EXPECT_THAT(own.Header("Content-Security-Policy"), HasSubstr("default-src 'none'"));
  EXPECT_THAT(own.Header("Content-Security-Policy"), HasSubstr("frame-ancestors 'self'"));
  EXPECT_EQ(own.Header("X-Content-Type-Options"), "nosniff");
  EXPECT_EQ(own.Header("Referrer-Policy"), "no-referrer");
  EXPECT_EQ(own.Header("Cross-Origin-Resource-Policy"), "same-origin");
  EXPECT_EQ(own.Header("Access-Control-Allow-Origin"), "");
}

TEST(Guard, NoPathLeadsOutOfTheFolder) {
  const RunningPage page({}, {kClip});
  const std::string id = page.IdOf("01-whole-arc.mp4");
  const std::vector<std::string> outside = {"../../../../../../etc/passwd",
                                            "..%2f..%2f..%2f..%2f..%2fetc%2fpasswd",
                                            "%2e%2e%2f%2e%2e%2fsheet.json",
                                            "..%5c..%5csheet.json",
                                            "%252e%252e%252fsheet.json",
                                            "sheet.json",
                                            "measured.json",
                                            ".",
                                            "..",
                                            "%00",
                                            "a%00.html",
                                            "/etc/passwd",
                                            "%2fetc%2fpasswd",
                                            "%ff%fe",
                                            "%zz"};
  for (const std::string& name : outside) {
    for (const std::string& base : {"/api/sheets/" + id + "/files/",
                                    std::string("/api/sheets/"),
                                    "/api/clips/" + id + "/frames/",
                                    std::string("/api/days/"),
                                    std::string("/api/days/One/files/"),
                                    std::string("/page/"),
                                    std::string("/shared/"),
                                    std::string("/")}) {
      const Reply reply = page.Ask("GET", base + name);
      EXPECT_THAT(reply.status, AnyOf(400, 403, 404, 422)) << base + name;
      EXPECT_THAT(reply.body, Not(HasSubstr("root:"))) << base + name;
    }
  }
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, AnUploadsNameStaysInTheFolder) {
  const RunningPage page;
  for (const char* name :
       {"..%2f..%2fout.mp4", "%2ftmp%2fout.mp4", "..%5cout.mp4", ".hidden.mp4", "a%0d%0ab.mp4", "%2e%2e", "a.sh"}) {
    const Reply reply = page.Ask("POST", "/api/clips?name=" + std::string(name), "no video at all");
    EXPECT_EQ(reply.status, 422) << name << reply.body;
  }
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(page.folder())) {
    files += entry.is_regular_file() ? 1 : 0;
  }
  EXPECT_EQ(files, 0U);  // what was refused is gone
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, RefusesWhatIsTooLarge) {
  const RunningPage page;
  const std::string enough(100'000, 'a');
  EXPECT_EQ(page.Raw("GET /api/state HTTP/1.1\r\nHost: " + page.host() + "\r\nX-Long: " + enough + "\r\n\r\n").status,
            431);
  EXPECT_EQ(page.Raw("GET /" + enough).status, 431);
  std::string many = "GET /api/state HTTP/1.1\r\nHost: " + page.host() + "\r\n";
  for (int i = 0; i < 5000; ++i) many += fmt::format("X-{}: y\r\n", i);
  EXPECT_EQ(page.Raw(many + "\r\n").status, 431);
  EXPECT_EQ(page.Ask("GET", "/" + std::string(5000, 'a')).status, 414);
  EXPECT_EQ(page.Ask("GET", "/api/" + std::string(2000, '/')).status, 414);
  const auto with_length = [&](const std::string& target, const std::string& length) {
    return page.Raw(
        fmt::format("POST {} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://{}\r\nContent-Length: {}\r\n\r\n",
                    target,
                    page.host(),
                    page.cookie(),
                    page.host(),
                    length));
  };
  const Reply two_gib = with_length("/api/clips?name=long.mp4", "2147483648");
  EXPECT_EQ(two_gib.status, 413);
  EXPECT_THAT(two_gib.Json()["error"]["advice"].get<std::string>(), HasSubstr("folder"));
  EXPECT_EQ(with_length("/api/days", "5000000").status, 413);
  EXPECT_EQ(with_length("/api/clips?name=a.mp4", "99999999999999999999999999").status, 411);
  EXPECT_EQ(with_length("/api/clips?name=a.mp4", "-1").status, 411);
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, AnUploadWithoutALengthEndsAtTheLimitToo) {
  ServeOptions options;
  options.most_upload_bytes = 100'000;
  const RunningPage page(options);
  const RawClient client(page.port());
  client.Send(
      fmt::format("POST /api/clips?name=a.mp4 HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://{}\r\n"
                  "Transfer-Encoding: chunked\r\n\r\n",
                  page.host(),
                  page.cookie(),
                  page.host()));
  const std::string piece = "1000\r\n" + std::string(0x1000, 'x') + "\r\n";
  for (int i = 0; i < 100 && client.Send(piece); ++i) {
  }
  EXPECT_THAT(client.Receive().status, AnyOf(400, 413));
  EXPECT_TRUE(page.IsWell());
  EXPECT_TRUE(std::filesystem::is_empty(page.folder() / "loftline-work/.partial"));
}

TEST(Guard, RefusesBodiesThatCanBeReadInTwoWays) {
  const RunningPage page;
  const auto post = [&](const std::string& headers, const std::string& body) {
    return page
        .Raw(fmt::format("POST /api/days HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://{}\r\n{}\r\n{}",
                         page.host(),
                         page.cookie(),
                         page.host(),
                         headers,
                         body))
        .status;
  };
  EXPECT_EQ(post("Content-Length: 2\r\nContent-Length: 20\r\n", "{}"), 415);
  EXPECT_EQ(post("Content-Length: 2\r\nTransfer-Encoding: chunked\r\n", "0\r\n\r\n"), 415);
  EXPECT_EQ(post("Transfer-Encoding: gzip, chunked\r\n", "0\r\n\r\n"), 415);
  EXPECT_EQ(post("Content-Encoding: gzip\r\nContent-Length: 2\r\n", "{}"), 415);
  EXPECT_EQ(post("Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 2\r\n", "{}"), 415);
  EXPECT_EQ(post("", ""), 411);
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, WhatFollowsARefusedBodyIsNoRequest) {
  const RunningPage page;
  const RawClient client(page.port());
  const std::string hidden = page.Request("GET", "/api/state");
  client.Send(fmt::format(
      "POST /api/state HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://{}\r\nContent-Length: {}\r\n\r\n{}",
      page.host(),
      page.cookie(),
      page.host(),
      hidden.size(),
      hidden));
  EXPECT_EQ(client.Receive().status, 405);
  EXPECT_EQ(client.Receive(2.0).status, 0);  // it has hung up
}

TEST(Guard, TakesGarbageCalmly) {
  const RunningPage page;
  std::mt19937 random(81901);
  const std::string good = page.Request("PUT", "/api/sheets/0123456789abcdef", R"({"revision": 0, "draft": {}})");
  for (int i = 0; i < 300; ++i) {
    std::string bytes = good;
    const int changes = 1 + static_cast<int>(random() % 8);
    for (int change = 0; change < changes; ++change) {
      const std::size_t at = random() % bytes.size();
      switch (random() % 4) {
        case 0:
          bytes[at] = static_cast<char>(random() % 256);
          break;
        case 1:
          bytes.erase(at, 1 + random() % 20);
          break;
        case 2:
          bytes.insert(at, std::string(1 + random() % 40, static_cast<char>(random() % 256)));
          break;
        default:
          bytes.resize(at + 1);
      }
      if (bytes.empty()) bytes = "x";
    }
    const RawClient client(page.port());
    client.Send(bytes);
    shutdown(client.socket(), SHUT_WR);
    const int status = client.Receive(5.0).status;
    EXPECT_NE(status, 500) << i;
    EXPECT_TRUE(status == 0 || status >= 200) << i;
  }
  for (const std::string& bytes : {std::string("\x16\x03\x01\x02\x00\x01\x00", 7),
                                   std::string("\r\n\r\n"),
                                   std::string(3000, '\0'),
                                   std::string("GET / HTTP/9.9\r\n\r\n")}) {
    EXPECT_THAT(page.Raw(bytes, 3.0).status, AnyOf(0, 400, 403, 408));
  }
  EXPECT_TRUE(page.IsWell());
}

ServeOptions Impatient() {
  ServeOptions options;
  options.connections.idle = ConnectionLimits::Seconds(0.4);
  options.connections.header = ConnectionLimits::Seconds(0.6);
  options.connections.pause = ConnectionLimits::Seconds(0.6);
  return options;
}

TEST(Guard, ASlowHeaderIsCutOff) {
  const RunningPage page(Impatient());
  const RawClient client(page.port());
  const std::string request = page.Request("GET", "/api/state");
  const auto start = std::chrono::steady_clock::now();
  for (const char letter : request) {  // one byte at a time keeps every single wait short
    if (!client.Send(std::string_view(&letter, 1))) break;
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
    if (std::chrono::steady_clock::now() - start > std::chrono::seconds(3)) break;
  }
  EXPECT_THAT(client.Receive(3.0).status, AnyOf(0, 408));
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, ASlowBodyIsCutOffAndLeavesNothing) {
  const RunningPage page(Impatient());
  const RawClient client(page.port());
  client.Send(
      fmt::format("POST /api/clips?name=a.mp4 HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: "
                  "http://{}\r\nContent-Length: 100000\r\n\r\n",
                  page.host(),
                  page.cookie(),
                  page.host()));
  for (int i = 0; i < 60 && client.Send("x"); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(50));
  EXPECT_THAT(client.Receive(3.0).status, AnyOf(0, 400, 408));
  EXPECT_TRUE(page.IsWell());
  EXPECT_TRUE(std::filesystem::is_empty(page.folder() / "loftline-work/.partial"));
}

TEST(Guard, AClientThatReadsNothingIsCutOff) {
  const RunningPage page(Impatient(), {kClip});
  const std::string id = page.IdOf("01-whole-arc.mp4");
  {
    const RawClient client(page.port());
    const int small = 4096;
    setsockopt(client.socket(), SOL_SOCKET, SO_RCVBUF, &small, sizeof(small));
    std::string requests;
    for (int i = 0; i < 200; ++i) requests += page.Request("GET", fmt::format("/api/clips/{}/frames/{}", id, i % 4));
    client.Send(requests.substr(0, 60'000));
    std::this_thread::sleep_for(std::chrono::seconds(2));
    EXPECT_TRUE(page.IsWell());
  }
  EXPECT_TRUE(page.IsWell());
}

TEST(Guard, IdleConnectionsDoNotShutOthersOut) {
  const RunningPage page(Impatient());
  std::vector<std::unique_ptr<RawClient>> idle;
  for (int i = 0; i < 400; ++i) idle.push_back(std::make_unique<RawClient>(page.port()));
  EXPECT_TRUE(page.IsWell());  // within the 10 s that Ask waits
}

}  // namespace
}  // namespace loftline::test
