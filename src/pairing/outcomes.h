// SPDX-License-Identifier: MIT
// What the samples did with their feeds: a number or yes/no per feed, from
// columns of the feeds files or from files measured elsewhere.
#pragma once

#include "base/csv.h"
#include "pairing/sample.h"

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

enum class OutcomeKind { kNumber, kYesNo };

struct Outcome {
  std::string name;
  OutcomeKind kind = OutcomeKind::kNumber;
  std::vector<Eigen::VectorXd> values;  ///< per sample and feed; NaN: unknown
  std::vector<Eigen::VectorXd> sigmas;  ///< 0: not given
  std::vector<double> shared;  ///< per sample: Sample::shared of this column
};

struct Outcomes {
  std::vector<Outcome> all;
  std::vector<std::string> warnings;
};

/// Time from the bounce to the contact with the sample, made of t_contact_s
/// and t_bounce_s (which count from the start of a film).
inline constexpr const char* kBounceToContact = "bounce_to_contact_s";

/// Columns of `tables` by feed number: the feeds files themselves, or one
/// outcome file per sample. `wanted` empty: every column but `feed` and the
/// uncertainties of an outcome file, those whose name starts with `ret_` of a
/// feeds file. Fields are numbers, or yes/no, true/false; a column that holds
/// only those, or only 0 and 1, is yes/no. s_<name> is its uncertainty.
/// Readings less certain than all readings of a sample are spread are left
/// out, with a warning.
/// What was not asked for by name and is not known for some sample is left out
/// with a warning. Throws InputError: a wanted column that is missing, is
/// neither, or is not known for a sample; a feed that stands twice; outcome
/// files of which nothing is left.
Outcomes read_outcomes(const std::vector<Sample>& samples,
                       const std::vector<CsvTable>& tables,
                       bool outcome_files,
                       const std::vector<std::string>& wanted);

/// "return speed" for ret_speed_mps.
std::string outcome_words(const std::string& name);

}  // namespace evenfeed
