// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_factors.h"

#include "base/counted.h"
#include "cli/csv_input.h"
#include "cli/plan_json.h"
#include "cli/print_words.h"
#include "plan/factors.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string factor_words(const Factor& factor) {
  std::string text = fmt::format("  {}: ", factor.name);
  switch (factor.separable) {
    case Separable::kConstant:
      return text + "the same in all samples; nothing is learned about it\n";
    case Separable::kYes:
      return text + "can be told from the others\n";
    case Separable::kPartly:
      text += fmt::format(
          "only {} of its {} contrasts can be told from the "
          "others",
          factor.free,
          factor.degrees);
      break;
    case Separable::kNo:
      text += "cannot be told from the others";
      break;
  }
  if (!factor.aliased_with.empty()) {
    text += fmt::format("; it is settled by {}",
                        fmt::join(factor.aliased_with, ", "));
  }
  return text + "\n";
}

std::string suggestion_words(const SampleSheet& sheet,
                             const SuggestedSample& suggestion) {
  std::vector<std::string> changes;
  for (std::size_t k = 0; k < sheet.properties.size(); ++k) {
    for (const std::string& changed : suggestion.changed) {
      if (changed != sheet.properties[k]) continue;
      changes.push_back(
          changed + " " +
          (suggestion.values[k].empty() ? "unknown" : suggestion.values[k]));
    }
  }
  return fmt::format("  one like {}, but with {}: frees {}\n",
                     suggestion.like,
                     fmt::join(changes, " and "),
                     fmt::join(suggestion.frees, ", "));
}

std::string report_words(const SampleSheet& sheet, const FactorReport& report) {
  std::string text = fmt::format(
      "{}, {}\n\nProperties\n",
      counted(report.samples, "sample"),
      counted(std::ssize(report.factors), "property", "properties"));
  for (const Factor& factor : report.factors) text += factor_words(factor);
  text += "\nSamples that differ in one property only\n";
  if (report.contrasts.empty()) text += "  none\n";
  for (const CleanContrast& contrast : report.contrasts) {
    text += fmt::format(
        "  {} and {}: {}\n", contrast.a, contrast.b, contrast.property);
  }
  text += "\nOne more sample that would help most\n";
  if (report.suggestions.empty()) {
    text += "  none made of the values that occur\n";
  }
  for (const SuggestedSample& suggestion : report.suggestions) {
    text += suggestion_words(sheet, suggestion);
  }
  text += "\nTo mind\n";
  if (!report.lonely_kinds.empty()) {
    text += fmt::format(
        "  one sheet only of {}: the kind and the single sheet "
        "cannot be told apart\n",
        fmt::join(report.lonely_kinds, ", "));
  }
  if (!report.incomplete.empty()) {
    text += fmt::format(
        "  not declared for every sample: {}; unknown is taken "
        "as a value of its own\n",
        fmt::join(report.incomplete, ", "));
  }
  text += report.spare > 0
              ? fmt::format(
                    "  {} to spare: that shows how much sheets scatter that "
                    "should be alike\n",
                    counted(report.spare, "sample"))
              : std::string(
                    "  no sample to spare: how much sheets scatter that "
                    "should be alike stays unknown\n");
  return text;
}

}  // namespace

void PlanFactorsCommand::setup(Arguments& args) {
  args.add_option(
          "SAMPLES",
          samples_,
          "CSV with a column 'sample', perhaps 'kind', and a column per "
          "property")
      .required();
  args.add_json(json_);
  args.add_quiet(quiet_);
}

int PlanFactorsCommand::run() {
  const SampleSheet sheet = read_sample_sheet(read_csv_input(samples_));
  const FactorReport report = analyse_factors(sheet);
  if (json_) {
    fmt::print("{}", factors_json(report));
  } else if (!quiet_) {
    print_words(report_words(sheet, report));
  }
  return kExitDone;
}

}  // namespace evenfeed
