// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#include "app/interrupt_watch.h"

#include <csignal>
#include <pthread.h>
#include <unistd.h>

namespace loftline {
namespace {

sigset_t WatchedSignals() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGINT);
  sigaddset(&signals, SIGTERM);
  return signals;
}

}  // namespace

InterruptWatch::InterruptWatch() {
  const sigset_t signals = WatchedSignals();
  pthread_sigmask(SIG_BLOCK, &signals, nullptr);
  waiter_ = std::thread([this] { Wait(); });
}

InterruptWatch::~InterruptWatch() {
  over_ = true;
  pthread_kill(waiter_.native_handle(), SIGINT);  // wakes the waiter, which sees that it is over
  waiter_.join();
}

void InterruptWatch::Wait() {
  const sigset_t signals = WatchedSignals();
  while (true) {
    int signal = 0;
    if (sigwait(&signals, &signal) != 0 || over_) return;
    if (stop_.stop_requested()) _exit(128 + signal);  // what a shell reports for a killed program
    stop_.request_stop();
  }
}

}  // namespace loftline
