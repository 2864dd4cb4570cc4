// SPDX-License-Identifier: MIT
// Which properties of a set of samples can be told apart by testing them all,
// and which one more sample would help most.
//
// A property is a factor: a number when every declared value is one (its slope
// counts), else a class (its levels count). With all factors in one linear
// model of main effects, a factor's effects that the rest of the model also
// makes cannot be told from it: of its degrees of freedom as many are free as
// the rank of the model grows by it.
#pragma once

#include "session/sample_sheet.h"

#include <string>
#include <vector>

namespace evenfeed {

enum class Separable { kConstant, kNo, kPartly, kYes };

struct Factor {
  std::string name;
  bool number = false;
  int levels = 0;   ///< different values
  int degrees = 0;  ///< of its main effect
  int free = 0;     ///< of them, that no other factor also makes
  Separable separable = Separable::kConstant;
  /// Factors that alone make the whole of it: they always change together.
  std::vector<std::string> aliased_with;
};

/// Two samples that differ in one property only.
struct CleanContrast {
  std::string a;
  std::string b;
  std::string property;
};

/// A sample to add, made of values that occur.
struct SuggestedSample {
  std::vector<std::string> values;   ///< one per property
  std::string like;                  ///< the sample nearest to it
  std::vector<std::string> changed;  ///< properties in which it differs
  int gain = 0;                      ///< degrees of freedom it frees
  std::vector<std::string> frees;  ///< factors it makes separable (or more so)
};

struct FactorReport {
  std::vector<Factor> factors;
  std::vector<CleanContrast> contrasts;
  int samples = 0;
  int spare = 0;  ///< samples beyond the model's rank: they show the scatter
  std::vector<std::string> lonely_kinds;     ///< kinds with one sheet only
  std::vector<SuggestedSample> suggestions;  ///< best first, equals together
  std::vector<std::string> incomplete;  ///< properties with unknown values:
                                        ///< unknown counts as a level
};

/// At least two samples. At most `most_suggestions` of them are listed.
FactorReport analyse_factors(const SampleSheet& sheet,
                             int most_suggestions = 3);

}  // namespace evenfeed
