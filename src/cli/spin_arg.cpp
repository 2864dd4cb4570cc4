// SPDX-License-Identifier: MIT
#include "cli/spin_arg.h"

#include "flight/flight_options.h"

namespace evenfeed {

void SpinArg::setup(Arguments& args) {
  args.add_option("--spin",
                  spin_,
                  "Spin the launcher is set to: top, back, none or unknown; "
                  "not given = as the profile says, unknown if it does not")
      .one_of({"top", "back", "none", "unknown"});
}

void SpinArg::apply(FlightOptions& flight) const {
  if (const auto spin = spin_of(spin_)) flight.believe_spin(*spin);
}

}  // namespace evenfeed
