// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "tests/accuracy/measure_program.h"

#include <chrono>
#include <fcntl.h>
#include <fstream>
#include <spawn.h>
#include <sstream>
#include <stdexcept>
#include <sys/wait.h>
#include <unistd.h>

#include <fmt/format.h>

namespace loftline::accuracy {

ProgramRun RunProgram(const std::vector<std::string>& arguments, const std::filesystem::path& log) {
  std::vector<char*> argv;
  argv.reserve(arguments.size() + 1);
  for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, log.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
  posix_spawn_file_actions_adddup2(&actions, STDOUT_FILENO, STDERR_FILENO);
  const auto start = std::chrono::steady_clock::now();
  pid_t child = 0;
  const int failure = posix_spawn(&child, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  if (failure != 0) throw std::runtime_error("cannot run " + arguments.front());
  int status = 0;
  if (waitpid(child, &status, 0) != child) throw std::runtime_error("cannot wait for " + arguments.front());
  ProgramRun run;
  run.wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  run.exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  std::ifstream file(log);
  std::ostringstream text;
  text << file.rdbuf();
  run.output = text.str();
  return run;
}

ProgramRun RunMeasure(const MeasureJob& job) {
  std::filesystem::create_directories(job.out);
  return RunProgram({LOFTLINE_PROGRAM,
                     "measure",
                     job.clip.string(),
                     "--survey",
                     job.survey.string(),
                     "--mass",
                     fmt::format("{:.3f} +- {:.3f} g", job.mass_g, job.mass_std_g),
                     "--diameter",
                     fmt::format("{:.3f} +- {:.3f} mm", job.diameter_mm, job.diameter_std_mm),
                     "--out",
                     job.out.string()},
                    job.out / (job.clip.stem().string() + ".log"));
}

ProgramRun RunTrack(const std::filesystem::path& clip,
                    const std::filesystem::path& survey,
                    const std::filesystem::path& track_csv) {
  std::filesystem::create_directories(track_csv.parent_path());
  std::vector<std::string> arguments{LOFTLINE_PROGRAM, "track", clip.string(), "--out", track_csv.string()};
  if (!survey.empty()) arguments.insert(arguments.end(), {"--survey", survey.string()});
  return RunProgram(arguments, track_csv.string() + ".log");
}

}  // namespace loftline::accuracy
