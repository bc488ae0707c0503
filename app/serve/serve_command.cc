// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_status.h"
#include "app/messages.h"
#include "app/option_values.h"
#include "app/serve/open_browser.h"
#include "app/serve/serve_page.h"
#include "core/read_file.h"
#include "core/text.h"

#include <optional>
#include <ostream>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kShortestPassword = 8;
constexpr std::size_t kLargestPasswordFile = 4096;

// The first line of the file.
Expected<std::string> ReadPassword(const std::string& path) {
  const Expected<std::string> text = ReadWholeFile(path, kLargestPasswordFile);
  if (!text) return text.error();
  const std::string password(Trimmed(text->substr(0, text->find('\n'))));
  if (password.size() >= kShortestPassword) return password;
  return Error{ErrorKind::kInvalidInput,
               "bad-value",
               fmt::format("The password has fewer than {} letters.", kShortestPassword),
               "Write a longer one into the file's first line.",
               path};
}

void TellAddress(const ServeAddress& ready, bool as_json, Streams io) {
  if (as_json) {
    nlohmann::ordered_json json = {{"address", ready.address}, {"port", ready.port}, {"folder", ready.folder.string()}};
    if (!ready.lan_address.empty()) json["lan_address"] = ready.lan_address;
    if (!ready.fingerprint.empty()) json["certificate_sha256"] = ready.fingerprint;
    io.out << json.dump() << std::endl;  // at once: a script waits for it
    return;
  }
  io.out << ready.address << std::endl;
  if (!ready.lan_address.empty()) io.out << ready.lan_address << std::endl;
  if (ready.self_made_certificate) {
    io.err << "The certificate was made just now, so that browsers warn of it. It is the right one\n"
              "if its SHA-256 fingerprint is\n"
           << ready.fingerprint.substr(0, 48) << "\n"
           << ready.fingerprint.substr(48) << "\n";
  }
  io.err << "Open the address above in a browser on " << (ready.lan_address.empty() ? "this machine" : "your network")
         << "; it works in the folder\n"
         << ready.folder.string() << "\nCtrl-C ends it.\n";
}

}  // namespace

int RunServe(std::span<const std::string> arguments, Streams io, const RunControl& control) {
  ServeOptions options;
  std::optional<std::string> folder, password_file, certificate, private_key;
  bool no_browser = false;
  CommandLine line(
      "serve",
      "Opens the page: mark, measure and look, in a browser on this machine. Clips are taken from the folder "
      "that it is started in; what is measured lies in loftline-work there.",
      "  loftline serve");
  line.Number("--port", &options.port, "The port to answer on (default: any free one)");
  line.Flag("--no-browser", &no_browser, "Print the address, and open no browser");
  line.Optional("--folder", &folder, "The folder with the clips (default: the one it is started in)");
  line.Group("For other machines in your network (docs/guide.md, \"On a tablet\")");
  line.Flag("--lan", &options.lan, "Answer them too; needs --password-file");
  line.Optional("--password-file", &password_file, "A file whose first line is the password");
  line.Optional("--certificate", &certificate, "The TLS certificate, as a PEM file (default: one is made)");
  line.Optional("--private-key", &private_key, "Its private key, as a PEM file");
  if (const std::optional<int> over = line.Parse(arguments, io)) return *over;

  OptionValues values;
  constexpr int kMostPort = 65535;
  if (options.port < 0 || options.port > kMostPort) {
    values.Reject("--port", "There is no such port.", "Give one from 1024 to 65535, or leave it out.");
  }
  if (options.lan && !password_file) {
    values.Reject("--lan",
                  "It opens the page to everybody in the network and needs a password.",
                  "Write one into a file and give --password-file FILE.");
  }
  if (!options.lan && (password_file || certificate || private_key)) {
    values.Reject(
        password_file ? "--password-file" : "--certificate", "It is for --lan alone.", "Add --lan, or leave it out.");
  }
  if (certificate.has_value() != private_key.has_value()) {
    values.Reject("--certificate", "A certificate and its private key belong together.", "Give both, or neither.");
  }
  if (Status status = values.Finish(); !status) return TellError(status.error(), line.json(), io);
  if (folder) options.folder = *folder;
  if (certificate) options.certificate = *certificate;
  if (private_key) options.private_key = *private_key;
  if (password_file) {
    Expected<std::string> password = ReadPassword(*password_file);
    if (!password) return TellError(password.error(), line.json(), io);
    options.password = *password;
  }
  const Status status = ServePage(
      options,
      [&](const ServeAddress& ready) {
        TellAddress(ready, line.json(), io);
        if (!no_browser) OpenBrowser(ready.address);
      },
      control.stop);
  return status ? kExitMeasured : TellError(status.error(), line.json(), io);
}

}  // namespace loftline
