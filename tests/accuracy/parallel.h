// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace loftline::accuracy {

// Calls work(0) .. work(COUNT - 1) on JOBS threads, in no particular order. The first exception is thrown again when
// all have stopped.
template <typename Work>
void ForEachIndex(int count, int jobs, const Work& work) {
  std::atomic<int> next = 0;
  std::mutex mutex;
  std::exception_ptr failure;
  const auto run = [&] {
    for (int i = next++; i < count; i = next++) {
      try {
        work(i);
      } catch (...) {
        const std::lock_guard<std::mutex> lock(mutex);
        if (!failure) failure = std::current_exception();
        next = count;
      }
    }
  };
  {
    std::vector<std::jthread> threads;
    threads.reserve(static_cast<std::size_t>(jobs));
    for (int i = 0; i < jobs; ++i) threads.emplace_back(run);
  }
  if (failure) std::rethrow_exception(failure);
}

}  // namespace loftline::accuracy
