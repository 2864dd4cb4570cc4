// SPDX-License-Identifier: MIT
// Randomness is derived, never ambient: every stream starts from a seed that
// is computed from (base seed, name of the use, index), so that a run can be
// repeated from the one number it prints, and adding a draw in one place does
// not change the numbers of another.
#pragma once

#include <cstdint>
#include <random>
#include <string_view>

namespace evenfeed {

using RandomEngine = std::mt19937_64;

/// FNV-1a over the name, mixed with base and index by SplitMix64 (Steele, Lea
/// and Flood 2014).
std::uint64_t derive_seed(std::uint64_t base,
                          std::string_view name,
                          std::uint64_t index = 0);

/// An engine seeded with derive_seed().
RandomEngine derived_engine(std::uint64_t base,
                            std::string_view name,
                            std::uint64_t index = 0);

}  // namespace evenfeed
