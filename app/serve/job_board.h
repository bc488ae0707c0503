// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"
#include "core/expected.h"
#include "core/run_control.h"

#include <atomic>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <stop_token>
#include <string>
#include <thread>
#include <vector>

#include <nlohmann/json.hpp>

namespace loftline {

enum class JobState { kWaiting, kRunning, kDone, kFailed, kCancelled };

// What a job is for: a sheet's or a day's name.
struct JobOwner {
  std::string sheet, day;
  bool operator==(const JobOwner&) const = default;
};

// How far a job is, for whoever asks.
struct JobView {
  std::string id, kind;
  JobOwner owner;
  JobState state = JobState::kWaiting;
  std::string stage;
  double fraction = 0.0;
  std::optional<Error> error;
  nlohmann::ordered_json details;  // what else this kind of job tells; null for most
};
nlohmann::ordered_json JobAsJson(const JobView& job);
bool IsOver(const JobView& job);

// How a running job tells how far it is. Thread-safe.
class JobReport {
 public:
  virtual ~JobReport() = default;
  virtual void Stage(const std::string& stage) = 0;
  virtual void Fraction(double fraction) = 0;
  virtual void Details(nlohmann::ordered_json details) = 0;
};

// Long work, away from the threads that answer requests. At most so many jobs run at once, the others wait; one owner
// has at most one job of a kind that is not over: a new one cancels it first.
class JobBoard {
 public:
  using Work = std::function<Status(const RunControl& control, JobReport& report)>;

  explicit JobBoard(int at_once = 2);
  ~JobBoard();  // cancels all and waits for them
  JobBoard(const JobBoard&) = delete;
  JobBoard& operator=(const JobBoard&) = delete;

  JobView Start(const std::string& kind, const JobOwner& owner, Work work);
  std::optional<JobView> Find(const std::string& id) const;
  // The owner's last job, over or not, of any kind where KIND is empty.
  std::optional<JobView> LastOf(const JobOwner& owner, const std::string& kind = "") const;
  std::optional<JobView> Cancel(const std::string& id);
  void CancelAll();

 private:
  struct Job;
  void Run(const std::shared_ptr<Job>& job);
  bool WaitForTurn(Job& job);
  void Finish(Job& job, const Status& status);
  void ForgetOldOnes();

  const int at_once_;
  mutable std::mutex mutex_;
  std::condition_variable_any turn_;
  int running_ = 0;
  std::uint64_t next_number_ = 1;
  std::vector<std::shared_ptr<Job>> jobs_;  // in order of their start
};

}  // namespace loftline
