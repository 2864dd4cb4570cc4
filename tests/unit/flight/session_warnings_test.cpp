// SPDX-License-Identifier: MIT
#include "flight/session_warnings.h"

#include "flight/session_fit.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<std::string> on_priors(std::vector<SharedQuantity> shared) {
  SessionFit fit;
  fit.feeds.resize(1);
  fit.shared = std::move(shared);
  std::vector<std::string> said = session_warnings(fit);
  said.erase(std::remove_if(said.begin(),
                            said.end(),
                            [](const std::string& words) {
                              return words.find("time scale") ==
                                     std::string::npos;
                            }),
             said.end());
  return said;
}

}  // namespace

TEST_CASE("what balls cannot be is told in one sentence, with its numbers") {
  const auto said = on_priors(
      {{"drag coefficient", "", {0.50, 0.05}, {0.70, 0.01}},
       {"lift coefficient before the bounce", "", {0, 0.20}, {-0.1, 0.02}},
       {"restitution", "", {0.92, 0.05}, {0.75, 0.01}}});
  REQUIRE(said.size() == 1);
  CHECK(said[0].find("drag coefficient 0.70 (believed 0.50 +- 0.05)") !=
        std::string::npos);
  CHECK(said[0].find("restitution 0.75 (believed 0.92 +- 0.05)") !=
        std::string::npos);
  CHECK(said[0].find("lift") == std::string::npos);
  CHECK(said[0].find("slow motion") != std::string::npos);
}

TEST_CASE("who measures the landing badly is told to listen, unless he does") {
  SessionFit fit;
  fit.feeds.resize(8);
  for (std::size_t i = 0; i < fit.feeds.size(); ++i) {
    fit.feeds[i][Characteristic::kX] = {700 + static_cast<double>(i), 5};
  }
  const auto advises = [&](std::string_view words) {
    return session_warnings(fit)[0].find(words) != std::string::npos;
  };
  CHECK(advises("Keep the film's sound"));
  fit.heard.emplace();
  CHECK(advises("Keep the film's sound"));
  fit.heard->agrees = true;
  CHECK(advises("landing along the table"));
  CHECK_FALSE(advises("Keep the film's sound"));
}

TEST_CASE("priors that hold, or are not of the ball, bring no warning") {
  CHECK(on_priors({{"drag coefficient", "", {0.50, 0.05}, {0.64, 0.01}},
                   {"restitution", "", {0.92, 0.05}, {0.78, 0.01}}})
            .empty());
  CHECK(on_priors({{"readout, change", "ms", {12, 8}, {50, 1}},
                   {"focal length, change", "px", {0, 2}, {9, 1}}})
            .empty());
  CHECK(on_priors({}).empty());
}
