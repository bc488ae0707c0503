// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/app/run_loftline.h"

#include "tests/tracker/ffmpeg_clips.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <poll.h>
#include <pty.h>
#include <stdexcept>
#include <sys/wait.h>
#include <unistd.h>

namespace loftline::test {
namespace {

std::string ShellQuoted(const std::string& text) {
  std::string quoted = "'";
  for (const char c : text) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

[[noreturn]] void BecomeLoftline(const std::vector<std::string>& arguments) {
  std::vector<std::string> all = {LOFTLINE_PROGRAM};
  all.insert(all.end(), arguments.begin(), arguments.end());
  std::vector<char*> pointers;
  pointers.reserve(all.size() + 1);
  for (std::string& argument : all) pointers.push_back(argument.data());
  pointers.push_back(nullptr);
  execv(pointers.front(), pointers.data());
  _exit(127);
}

}  // namespace

Ran RunLoftline(const std::vector<std::string>& arguments) {
  const ScratchFolder folder;
  std::string command = ShellQuoted(LOFTLINE_PROGRAM);
  for (const std::string& argument : arguments) command += " " + ShellQuoted(argument);
  command += " </dev/null >" + ShellQuoted((folder / "out").string()) + " 2>" + ShellQuoted((folder / "err").string());
  const int status = std::system(command.c_str());
  Ran ran;
  ran.exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  ran.out = ReadBytes(folder / "out");
  ran.err = ReadBytes(folder / "err");
  return ran;
}

Ran RunLoftlineOnTerminal(const std::vector<std::string>& arguments, double interrupt_after_s) {
  int terminal = -1;
  const pid_t child = forkpty(&terminal, nullptr, nullptr, nullptr);
  if (child < 0) throw std::runtime_error("no pseudo-terminal");
  if (child == 0) BecomeLoftline(arguments);
  const auto start = std::chrono::steady_clock::now();
  bool interrupted = interrupt_after_s <= 0.0;
  Ran ran;
  std::array<char, 4096> chunk{};
  while (true) {
    pollfd waiting{terminal, POLLIN, 0};
    const int ready = poll(&waiting, 1, 20);
    const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - start;
    if (!interrupted && elapsed.count() > interrupt_after_s) {
      kill(child, SIGINT);
      interrupted = true;
    }
    if (ready == 0) continue;
    const ssize_t got = read(terminal, chunk.data(), chunk.size());
    if (got <= 0) break;  // EIO: the other side is gone
    ran.out.append(chunk.data(), static_cast<std::size_t>(got));
  }
  close(terminal);
  int status = 0;
  waitpid(child, &status, 0);
  ran.exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return ran;
}

std::vector<std::string> EntriesBelow(const std::filesystem::path& folder) {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    names.push_back(entry.path().lexically_relative(folder).string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace loftline::test
