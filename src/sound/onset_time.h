// SPDX-License-Identifier: MIT
// When a sound sets in, from the samples around it: the sample at which the
// variance changes. For n samples of a window that holds the onset,
//
//   ln L(k) = -k/2 ln var(1..k) - (n-k)/2 ln var(k+1..n)
//
// is the likelihood of a change behind sample k. Its maximum is the picker of
// Maeda 1985 in seismology (AIC = -2 ln L, as the documentation of ObsPy's
// aic_simple gives it); here the mean and the sd over k, weighted by the
// likelihood, are the onset and its uncertainty. Neighbouring samples of a
// filtered sound repeat each other, so L counts each as `independent` of one.
// Coders that work in blocks spread a little of a click over what went before
// it (pre-echo): `negligible` is added to every variance, so that a rise from
// nothing to less than it is no onset.
#pragma once

#include <span>

namespace evenfeed {

struct Onset {
  bool found = false;  ///< the window is long enough and not all silence
  double place = 0;    ///< samples after the window's first
  double sigma = 0;    ///< samples
};

/// `window` ends at the sound's loudest moment. At least eight samples.
[[nodiscard]] Onset onset_in(std::span<const double> window,
                             double independent,
                             double negligible = 0);

}  // namespace evenfeed
