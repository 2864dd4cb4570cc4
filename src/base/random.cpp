// SPDX-License-Identifier: MIT
#include "base/random.h"

namespace evenfeed {
namespace {

std::uint64_t split_mix(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15ULL;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ULL;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebULL;
  return x ^ (x >> 31);
}

}  // namespace

std::uint64_t derive_seed(std::uint64_t base,
                          std::string_view name,
                          std::uint64_t index) {
  std::uint64_t hash = 0xcbf29ce484222325ULL;
  for (const char c : name) {
    hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
  }
  return split_mix(split_mix(split_mix(base) ^ hash) ^ index);
}

RandomEngine derived_engine(std::uint64_t base,
                            std::string_view name,
                            std::uint64_t index) {
  return RandomEngine(derive_seed(base, name, index));
}

}  // namespace evenfeed
