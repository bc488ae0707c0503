// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/serve/job_board.h"

#include "app/messages.h"

#include <algorithm>
#include <exception>
#include <utility>

#include <fmt/format.h>

namespace loftline {
namespace {

constexpr std::size_t kMostKept = 200;

const char* StateName(JobState state) {
  switch (state) {
    case JobState::kWaiting:
      return "waiting";
    case JobState::kRunning:
      return "running";
    case JobState::kDone:
      return "done";
    case JobState::kFailed:
      return "failed";
    case JobState::kCancelled:
      return "cancelled";
  }
  return "failed";
}

nlohmann::ordered_json NameOrNull(const std::string& name) {
  return name.empty() ? nlohmann::ordered_json() : nlohmann::ordered_json(name);
}

}  // namespace

struct JobBoard::Job : JobReport {
  void Stage(const std::string& stage) override {
    const std::scoped_lock lock(mutex);
    view.stage = stage;
  }
  void Fraction(double fraction) override {
    const std::scoped_lock lock(mutex);
    view.fraction = std::clamp(fraction, 0.0, 1.0);
  }
  void Details(nlohmann::ordered_json details) override {
    const std::scoped_lock lock(mutex);
    view.details = std::move(details);
  }
  JobView View() const {
    const std::scoped_lock lock(mutex);
    return view;
  }

  mutable std::mutex mutex;  // of VIEW
  JobView view;
  Work work;
  std::jthread thread;
};

nlohmann::ordered_json JobAsJson(const JobView& job) {
  nlohmann::ordered_json json = {{"id", job.id},
                                 {"kind", job.kind},
                                 {"sheet", NameOrNull(job.owner.sheet)},
                                 {"day", NameOrNull(job.owner.day)},
                                 {"state", StateName(job.state)},
                                 {"stage", job.stage},
                                 {"fraction", job.fraction},
                                 {"error", nullptr}};
  if (job.error) json["error"] = ErrorAsJson(*job.error)["error"];
  if (!job.details.is_null()) json["details"] = job.details;
  return json;
}

bool IsOver(const JobView& job) {
  return job.state != JobState::kWaiting && job.state != JobState::kRunning;
}

JobBoard::JobBoard(int at_once) : at_once_(at_once) {}

JobBoard::~JobBoard() {
  CancelAll();
  std::vector<std::shared_ptr<Job>> jobs;
  {
    const std::scoped_lock lock(mutex_);
    jobs = std::move(jobs_);
  }
  for (const std::shared_ptr<Job>& job : jobs) {
    if (job->thread.joinable()) job->thread.join();
  }
}

JobView JobBoard::Start(const std::string& kind, const JobOwner& owner, Work work) {
  auto job = std::make_shared<Job>();
  job->work = std::move(work);
  job->view.kind = kind;
  job->view.owner = owner;
  const std::scoped_lock lock(mutex_);
  for (const std::shared_ptr<Job>& other : jobs_) {
    const JobView view = other->View();
    if (view.kind == kind && view.owner == owner && !IsOver(view)) other->thread.request_stop();
  }
  job->view.id = fmt::format("{}", next_number_++);
  ForgetOldOnes();
  jobs_.push_back(job);
  job->thread = std::jthread([this, weak = std::weak_ptr<Job>(job)] {
    if (const std::shared_ptr<Job> kept = weak.lock()) Run(kept);
  });
  return job->View();
}

bool JobBoard::WaitForTurn(Job& job) {
  std::unique_lock lock(mutex_);
  // One of the same owner that was asked to stop still writes its files until it has.
  const auto may_run = [&] {
    if (running_ >= at_once_) return false;
    return std::none_of(jobs_.begin(), jobs_.end(), [&](const std::shared_ptr<Job>& other) {
      const JobView view = other->View();
      return other.get() != &job && view.owner == job.view.owner && view.state == JobState::kRunning;
    });
  };
  if (!turn_.wait(lock, job.thread.get_stop_token(), may_run)) return false;
  ++running_;
  const std::scoped_lock view_lock(job.mutex);
  job.view.state = JobState::kRunning;
  return true;
}

void JobBoard::Run(const std::shared_ptr<Job>& job) {
  const Error cancelled{ErrorKind::kCancelled, "cancelled", "It was stopped before it was done.", ""};
  if (!WaitForTurn(*job)) return Finish(*job, cancelled);
  const RunControl control{job->thread.get_stop_token(), [&job](double fraction) { job->Fraction(fraction); }};
  Status status = Done{};
  try {
    status = job->work(control, *job);
  } catch (const std::exception& mistake) {
    status = Error{ErrorKind::kInternal,
                   "internal",
                   std::string("This is a mistake in Loftline itself: ") + mistake.what() + ".",
                   "Please report it, with what you did before."};
  }
  {
    const std::scoped_lock lock(mutex_);
    --running_;
  }
  Finish(*job, status);
}

void JobBoard::Finish(Job& job, const Status& status) {
  {
    const std::scoped_lock lock(mutex_, job.mutex);
    if (status) {
      job.view.state = JobState::kDone;
      job.view.fraction = 1.0;
    } else {
      job.view.state = status.error().kind == ErrorKind::kCancelled ? JobState::kCancelled : JobState::kFailed;
      job.view.error = status.error();
    }
    job.work = nullptr;  // and whatever it holds
  }
  turn_.notify_all();
}

// With mutex_ held.
void JobBoard::ForgetOldOnes() {
  if (jobs_.size() < kMostKept) return;
  std::erase_if(jobs_, [count = jobs_.size() - kMostKept / 2](const std::shared_ptr<Job>& job) mutable {
    if (count == 0 || !IsOver(job->View())) return false;
    --count;
    if (job->thread.joinable()) job->thread.join();  // it has nothing left to do
    return true;
  });
}

std::optional<JobView> JobBoard::Find(const std::string& id) const {
  const std::scoped_lock lock(mutex_);
  for (const std::shared_ptr<Job>& job : jobs_) {
    if (job->view.id == id) return job->View();
  }
  return std::nullopt;
}

std::optional<JobView> JobBoard::LastOf(const JobOwner& owner, const std::string& kind) const {
  const std::scoped_lock lock(mutex_);
  for (auto job = jobs_.rbegin(); job != jobs_.rend(); ++job) {
    const JobView view = (*job)->View();
    if (view.owner == owner && (kind.empty() || view.kind == kind)) return view;
  }
  return std::nullopt;
}

std::optional<JobView> JobBoard::Cancel(const std::string& id) {
  {
    const std::scoped_lock lock(mutex_);
    for (const std::shared_ptr<Job>& job : jobs_) {
      if (job->view.id == id) job->thread.request_stop();
    }
  }
  return Find(id);
}

void JobBoard::CancelAll() {
  const std::scoped_lock lock(mutex_);
  for (const std::shared_ptr<Job>& job : jobs_) job->thread.request_stop();
}

}  // namespace loftline
