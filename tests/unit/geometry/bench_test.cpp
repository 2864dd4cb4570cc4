// SPDX-License-Identifier: MIT
#include "geometry/bench.h"

#include "base/error.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Bench plain_bench() {
  Bench bench;
  bench.camera.width_px = 640;
  bench.camera.height_px = 480;
  bench.camera.lens.focal_px = 500;
  bench.camera.lens.centre_u_px = 319.5;
  bench.camera.lens.centre_v_px = 239.5;
  bench.camera.camera_from_table.translation_m = {0, 0, 2.5};
  bench.surface_name = "trial";
  bench.covariance.setIdentity();
  return bench;
}

}  // namespace

TEST_CASE("a bench that no calibration writes is refused with its file") {
  CHECK_NOTHROW((void)parse_bench(bench_text(plain_bench()), "b.toml"));
  Bench negative = plain_bench();
  negative.covariance(3, 3) = -1e-6;
  CHECK_THROWS_WITH_AS((void)parse_bench(bench_text(negative), "b.toml"),
                       doctest::Contains("b.toml"),
                       InputError);
  Bench huge = plain_bench();
  huge.covariance(0, 0) = 1e300;
  CHECK_THROWS_AS((void)parse_bench(bench_text(huge), "b.toml"), InputError);
  Bench far = plain_bench();
  far.camera.camera_from_table.translation_m.x() = 1e300;
  CHECK_THROWS_AS((void)parse_bench(bench_text(far), "b.toml"), InputError);
}
