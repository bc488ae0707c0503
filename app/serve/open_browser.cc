// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/open_browser.h"

#include <array>
#include <cstdlib>
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace loftline {

void OpenBrowser(const std::string& address) {
  if (std::getenv("DISPLAY") == nullptr && std::getenv("WAYLAND_DISPLAY") == nullptr) return;
  posix_spawn_file_actions_t files{};
  posix_spawn_file_actions_init(&files);
  for (const int stream : {STDOUT_FILENO, STDERR_FILENO}) {
    posix_spawn_file_actions_addopen(&files, stream, "/dev/null", O_WRONLY, 0);  // its chatter is not ours
  }
  std::string opener = "xdg-open", copy = address;
  const std::array<char*, 3> arguments = {opener.data(), copy.data(), nullptr};
  pid_t child = 0;
  const int failed = posix_spawnp(&child, "xdg-open", &files, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&files);
  if (failed == 0) std::thread([child] { waitpid(child, nullptr, 0); }).detach();
}

}  // namespace loftline
