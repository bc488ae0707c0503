// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
export const flight = {};
