// SPDX-License-Identifier: MIT
#include "base/nearest.h"

#include <algorithm>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The one word that holds `word` at its beginning or end, else empty.
std::string only_completion(std::string_view word,
                            const std::vector<std::string>& known) {
  constexpr std::size_t kTellingLetters = 3;
  if (word.size() < kTellingLetters) return {};
  std::string found;
  for (const std::string& one : known) {
    if (!one.starts_with(word) && !one.ends_with(word)) continue;
    if (!found.empty()) return {};
    found = one;
  }
  return found;
}

}  // namespace

int edit_distance(std::string_view a, std::string_view b) {
  // Rows of the table of distances between the first letters of a and b: the
  // one being filled, and the two before it.
  std::vector<int> older, old(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) old[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int other = a[i - 1] == b[j - 1] ? 0 : 1;
      now[j] = std::min({old[j] + 1, now[j - 1] + 1, old[j - 1] + other});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        now[j] = std::min(now[j], older[j - 2] + 1);
      }
    }
    older = old;
    old = now;
  }
  return old[b.size()];
}

std::string nearest_word(std::string_view word,
                         const std::vector<std::string>& known) {
  if (std::string one = only_completion(word, known); !one.empty()) return one;
  int least = std::max(2, static_cast<int>(word.size()) / 3);
  std::string nearest;
  for (const std::string& one : known) {
    const int distance = edit_distance(word, one);
    // Words that share hardly a letter are not meant.
    if (distance >= static_cast<int>(std::min(word.size(), one.size()))) {
      continue;
    }
    if (distance < least || (distance == least && nearest.empty())) {
      least = distance;
      nearest = one;
    }
  }
  return nearest;
}

std::string did_you_mean(std::string_view word,
                         const std::vector<std::string>& known) {
  const std::string nearest = nearest_word(word, known);
  return nearest.empty() ? "" : fmt::format(". Did you mean '{}'?", nearest);
}

}  // namespace evenfeed
