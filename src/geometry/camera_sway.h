// SPDX-License-Identifier: MIT
// How unsteadily a camera stands: what is left of its moves when the places it
// was found in have been allowed for. It shifts the pictures of one flight all
// alike, so their residuals do not show it.
#pragma once

namespace evenfeed {

struct CameraSway {
  double shift_px = 0;    ///< sd of where the picture lies, per axis
  double drift_px_s = 0;  ///< sd of how fast that changes, per axis
};

}  // namespace evenfeed
