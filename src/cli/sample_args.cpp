// SPDX-License-Identifier: MIT
#include "cli/sample_args.h"

#include "base/check.h"
#include "base/units.h"

namespace evenfeed {

void SampleArgs::setup(Arguments& args) {
  args.add_option("--sample-x",
                  x_mm_,
                  "Where the sample's plane meets the table's plane, mm from "
                  "the table's centre; without it the returns tell");
}

void SampleArgs::apply(Profile& profile) const {
  if (!x_mm_) return;
  require_in_range(*x_mm_, -20000, 20000, "--sample-x");
  profile.sample.x_m = m_from_mm(*x_mm_);
  profile.sample.sd_m = 0;
}

}  // namespace evenfeed
