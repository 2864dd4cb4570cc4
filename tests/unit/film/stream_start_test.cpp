// SPDX-License-Identifier: MIT
#include "film/stream_start.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kStep_s = 1.0 / 60;

// How many of the pictures that were read at once, with one pause of this
// machine among them, and of those at the camera's pace are left out.
int left_out(double rate_hz, double pause_s) {
  StreamStart start(rate_hz);
  double now_s = 100;
  int out = 0;
  for (int i = 0; i < 90; ++i) {
    now_s += i == 45 ? pause_s : 2e-4;
    if (!start.over(now_s)) ++out;
  }
  CHECK(out == 90);
  for (int i = 0; i < 60; ++i) {
    now_s += kStep_s;
    if (!start.over(now_s)) ++out;
  }
  return out;
}

}  // namespace

TEST_CASE("what was read to learn of a stream is left out, and little more") {
  for (const double rate_hz : {60., 0.}) {
    for (const double pause_s : {2e-4, 2e-3, 0.03}) {
      CAPTURE(rate_hz);
      CAPTURE(pause_s);
      CHECK(left_out(rate_hz, pause_s) < 90 + 17);
    }
  }
}

TEST_CASE("a camera's pace may jitter") {
  StreamStart start(60);
  int out = 0;
  for (int i = 0; i < 40; ++i) {
    if (!start.over(i * kStep_s + (i % 2 == 0 ? 8e-3 : 0))) ++out;
  }
  CHECK(out == 16);
  CHECK(start.over(40 * kStep_s));
  CHECK(start.over(40 * kStep_s));  // once over, it is
}
