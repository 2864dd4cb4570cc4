// SPDX-License-Identifier: MIT
#include "bench/pairing_lines.h"

#include <string>

#include <fmt/format.h>

namespace evenfeed {

std::vector<Line> lines() {
  std::vector<Line> all;
  const auto add = [&](const Line& line) { all.push_back(line); };
  add({.name = "alike"});
  add({.name = "drift 0.7 sd", .shift = 0.7, .drift = true});
  add({.name = "drift 1.4 sd", .shift = 1.4, .drift = true});
  add({.name = "drift 1.4, truth 0.4",
       .shift = 1.4,
       .drift = true,
       .truth = 0.4});
  add({.name = "curved, drift 0.7",
       .shift = 0.7,
       .drift = true,
       .curved = 0.05});
  add({.name = "20 feeds, shift 0.7",
       .feeds_a = 20,
       .feeds_b = 20,
       .shift = 0.7});
  add({.name = "60 feeds, shift 0.7",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7});
  add({.name = "20 and 200, shift 0.7",
       .feeds_a = 20,
       .feeds_b = 200,
       .shift = 0.7});
  add({.name = "20 and 120, scatter 1 and 3",
       .feeds_a = 20,
       .feeds_b = 120,
       .shift = 0.7,
       .scatter = 3});
  add({.name = "120 and 20, scatter 1 and 3",
       .feeds_a = 120,
       .feeds_b = 20,
       .shift = 0.7,
       .scatter = 3});
  add({.name = "t3, shift 0.7",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7,
       .heavy = 3});
  for (const auto& [name, measured] : {std::pair{"measured to 0.3 sd", 0.3},
                                       {"measured to 0.5 sd", 0.5},
                                       {"measured to 0.7 sd", 0.7}}) {
    add({.name = name,
         .feeds_a = 60,
         .feeds_b = 60,
         .shift = 0.7,
         .measured = measured});
  }
  add({.name = "to 0.7 sd, 300 feeds",
       .feeds_a = 300,
       .feeds_b = 300,
       .shift = 0.7,
       .measured = 0.7});
  add({.name = "yes 50 %, 60, alike",
       .feeds_a = 60,
       .feeds_b = 60,
       .yes = 0.5});
  add({.name = "yes 50 %, 60, 0.7 sd",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7,
       .yes = 0.5});
  add({.name = "yes 50 %, 200, alike",
       .feeds_a = 200,
       .feeds_b = 200,
       .yes = 0.5});
  add({.name = "yes 50 %, 200, 0.7 sd",
       .feeds_a = 200,
       .feeds_b = 200,
       .shift = 0.7,
       .yes = 0.5});
  add({.name = "the same, calipers 2 sd",
       .feeds_a = 200,
       .feeds_b = 200,
       .shift = 0.7,
       .yes = 0.5,
       .calipers = 2});
  add({.name = "yes 85 %, 60, 0.7 sd",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7,
       .yes = 0.85});
  add({.name = "yes 8 %, 60, 0.7 sd",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7,
       .yes = 0.08});
  add({.name = "yes 8 %, 30, alike",
       .feeds_a = 30,
       .feeds_b = 30,
       .yes = 0.08});
  add({.name = "yes, feed no matter, 0.7 sd",
       .feeds_a = 60,
       .feeds_b = 60,
       .shift = 0.7,
       .yes = 0.5,
       .follows = 0});
  static std::vector<std::string> names;
  names.reserve(100);
  for (const double apart : {1.0, 0.3}) {
    for (const int feeds : {60, 180, 500}) {
      for (const double shift : {0.0, 0.5, 1.0}) {
        names.push_back(
            fmt::format("films {:g} sd, {}, {:g} sd", apart, feeds, shift));
        add({.name = names.back().c_str(),
             .feeds_a = feeds,
             .feeds_b = feeds,
             .shift = shift,
             .films = apart});
      }
    }
  }
  for (const int feeds : {60, 180, 500}) {
    for (const double shift : {0.0, 0.5, 1.0}) {
      names.push_back(
          fmt::format("one bench, 1 and 0.3 sd, {}, {:g} sd", feeds, shift));
      add({.name = names.back().c_str(),
           .feeds_a = feeds,
           .feeds_b = feeds,
           .shift = shift,
           .films = 0.3,
           .together = 1});
    }
  }
  add({.name = "films 1 sd, 180, 0.5, outcome 0.2",
       .feeds_a = 180,
       .feeds_b = 180,
       .shift = 0.5,
       .films = 1,
       .outcome_films = 0.2});
  return all;
}

}  // namespace evenfeed
