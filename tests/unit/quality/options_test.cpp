// SPDX-License-Identifier: MIT
#include "quality/options.h"

#include <filesystem>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

QualityOptions load(const std::string& text) {
  return load_quality(TomlTable::parse(text, "p.toml"));
}

std::string options_refusal(const std::string& text) {
  try {
    load(text);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("settings: defaults, and the shipped profile reads") {
  const QualityOptions defaults = load("");
  CHECK(defaults.warm_up.window == 20);
  CHECK(defaults.charts.run_length == 1000);
  const QualityOptions shipped = load_quality(TomlTable::read(
      std::filesystem::path(EVENFEED_ROOT) / "profiles" / "table-tennis.toml"));
  CHECK(shipped.characteristics.size() == 4);
  // What was proven (tests/bench/decisions) is what is shipped.
  CHECK(shipped.warm_up.drift_own_sd == defaults.warm_up.drift_own_sd);
  CHECK(shipped.warm_up.confidence == defaults.warm_up.confidence);
  CHECK(shipped.warm_up.significance == defaults.warm_up.significance);
  CHECK(shipped.charts.guarantee == defaults.charts.guarantee);
  CHECK_NOTHROW(shipped.check());
}

TEST_CASE("settings: every key arrives") {
  const QualityOptions o = load(R"(
[warm_up]
window = 30
longest_window = 60
horizon_feeds = 40
confidence = 0.9
significance = 0.01
[charts]
run_length = 500
lambda = 0.2
guarantee = 0.8
misfeed_probability = 1e-5
confirm_feeds = 7
[tolerances]
drift_own_sd = 1.5
characteristics = ["x_mm", "kick"]
[[tolerances.of]]
characteristic = "x_mm"
drift = 60
[[tolerances.of]]
characteristic = "kick"
spread = 0.01
[other]
key = 1
)");
  CHECK(o.warm_up.window == 30);
  CHECK(o.warm_up.longest_window == 60);
  CHECK(o.warm_up.horizon_feeds == 40);
  CHECK(o.warm_up.confidence == 0.9);
  CHECK(o.warm_up.significance == 0.01);
  CHECK(o.warm_up.drift_own_sd == 1.5);
  CHECK(o.charts.run_length == 500);
  CHECK(o.charts.lambda == 0.2);
  CHECK(o.charts.misfeed_probability == 1e-5);
  CHECK(o.charts.confirm_feeds == 7);
  CHECK(o.characteristics == std::vector<std::string>{"x_mm", "kick"});
  REQUIRE(o.tolerances.size() == 2);
  CHECK(o.tolerances[0].drift == 60);
  CHECK(o.tolerances[1].spread == 0.01);
}

TEST_CASE("settings: what is wrong is named with file, line and key") {
  int refused = 0;
  for (const auto& [text, part] :
       {std::pair<std::string, std::string>{"[charts]\nlamda = 0.1\n", "lamda"},
        {"[charts]\nlambda = 2\n", "charts.lambda = 2"},
        {"[charts]\nlambda = nan\n", "not finite"},
        {"[charts]\nrun_length = 5\n", "charts.run_length = 5"},
        {"[warm_up]\nwindow = 3\n", "warm_up.window = 3"},
        {"[warm_up]\nwindow = 20.5\n", "whole number"},
        {"[warm_up]\nconfidence = 95\n", "warm_up.confidence = 95"},
        {"[tolerances]\ndrift_own_sd = -1\n", "drift_own_sd = -1"},
        {"[[tolerances.of]]\ndrift = 3\n", "characteristic"},
        {"[[tolerances.of]]\ncharacteristic = \"x_mm\"\ndrift = 0\n",
         "not above 0"},
        {"[[tolerances.of]]\ncharacteristic = \"x_mm\"\nsigma = 1\n",
         "sigma"}}) {
    CAPTURE(text);
    const std::string message = options_refusal(text);
    CHECK(message.find("p.toml:") != std::string::npos);
    CHECK(message.find(part) != std::string::npos);
    ++refused;
  }
  CHECK(refused == 11);
}
