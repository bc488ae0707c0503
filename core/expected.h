// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
#pragma once

#include "core/error.h"

#include <stdexcept>
#include <utility>
#include <variant>

namespace loftline {

// A value, or the reason why there is none. Shaped like C++23's std::expected, so that it can give way to it.
// Looking at the value of an error, or at the error of a value, is a bug in the caller and throws std::logic_error.
template <typename T>
class [[nodiscard]] Expected {
 public:
  Expected(T value) : held_(std::in_place_index<0>, std::move(value)) {}      // NOLINT(google-explicit-constructor)
  Expected(Error error) : held_(std::in_place_index<1>, std::move(error)) {}  // NOLINT(google-explicit-constructor)

  bool has_value() const { return held_.index() == 0; }
  explicit operator bool() const { return has_value(); }

  const T& value() const& { return Checked(); }
  T& value() & { return const_cast<T&>(std::as_const(*this).Checked()); }
  T&& value() && { return std::move(value()); }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }

  const Error& error() const {
    if (has_value()) throw std::logic_error("the error of a value was asked for");
    return std::get<1>(held_);
  }

 private:
  const T& Checked() const {
    if (!has_value()) throw std::logic_error("unlooked-at error: " + Describe(std::get<1>(held_)));
    return std::get<0>(held_);
  }

  std::variant<T, Error> held_;
};

// For work that yields nothing but may fail: return Done{} or an Error.
struct Done {};
using Status = Expected<Done>;

}  // namespace loftline
