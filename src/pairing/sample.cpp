// SPDX-License-Identifier: MIT
#include "pairing/sample.h"

#include "base/check.h"
#include "base/error.h"
#include "pairing/films_apart.h"
#include "quality/trial_table.h"
#include "quality/words.h"
#include "session/tagged_file.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

bool may_be_used(const CsvTable& table, std::size_t row, bool review) {
  if (!table.column("verdict")) return true;
  const std::string word = verdict_word(table, row);
  return word == "keep" || (review && word == "review");
}

// Rows of the file whose feeds count.
std::vector<std::size_t> kept_rows(const CsvTable& table,
                                   const TrialTable& trial,
                                   bool review) {
  std::vector<std::size_t> rows;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (trial.unmeasured[r].empty() && may_be_used(table, r, review)) {
      rows.push_back(r);
    }
  }
  return rows;
}

double missing_share(const TrialTable& trial,
                     const std::vector<std::size_t>& rows,
                     int column) {
  const auto missing =
      std::count_if(rows.begin(), rows.end(), [&](std::size_t r) {
        return !std::isfinite(trial.values(static_cast<int>(r), column));
      });
  return rows.empty()
             ? 0
             : static_cast<double>(missing) / static_cast<double>(rows.size());
}

int column_in(const TrialTable& trial, const std::string& name) {
  const auto it = std::find(
      trial.characteristics.begin(), trial.characteristics.end(), name);
  return it == trial.characteristics.end()
             ? -1
             : static_cast<int>(it - trial.characteristics.begin());
}

struct Opened {
  const CsvTable* table;
  TrialTable trial;
  std::vector<std::size_t> kept;
};

// How far apart the films may be in a column: of the two that are furthest.
double apart(const std::vector<SharedUncertainty>& shared,
             const std::string& name) {
  double variance = 0;
  for (std::size_t a = 0; a < shared.size(); ++a) {
    for (std::size_t b = a + 1; b < shared.size(); ++b) {
      variance =
          std::max(variance, films_apart(shared[a], shared[b], {name})(0, 0));
    }
  }
  return std::sqrt(variance);
}

// Of the kept feeds, within the files.
double pooled_spread(const std::vector<Opened>& files,
                     const std::string& name) {
  double squares = 0;
  double degrees = 0;
  for (const Opened& file : files) {
    std::vector<double> values;
    for (const std::size_t r : file.kept) {
      const double value =
          file.trial.values(static_cast<int>(r), column_in(file.trial, name));
      if (std::isfinite(value)) values.push_back(value);
    }
    if (values.size() < 2) continue;
    const auto n = static_cast<double>(values.size());
    const double sd = standard_deviation(values);
    squares += (n - 1) * sd * sd;
    degrees += n - 1;
  }
  return degrees > 0 ? std::sqrt(squares / degrees) : 0;
}

// Why a characteristic cannot be used at all; empty if it can.
std::string missing_words(const std::vector<Opened>& files,
                          const SampleRules& rules,
                          const std::string& name) {
  for (const Opened& file : files) {
    const int column = column_in(file.trial, name);
    if (column < 0) return "not every file has it";
    const double missing = missing_share(file.trial, file.kept, column);
    if (missing > rules.most_missing) {
      return fmt::format("it is not known for {:.0f} % of the feeds in {}",
                         100 * missing,
                         file.table->name());
    }
  }
  return {};
}

// What all files know, and which of it is not known well enough to match on.
void choose_characteristics(const std::vector<Opened>& files,
                            const SampleRules& rules,
                            const std::vector<SharedUncertainty>& shared,
                            bool asked_for,
                            Samples& result) {
  for (const std::string& name : files[0].trial.characteristics) {
    const std::string why = missing_words(files, rules, name);
    if (!why.empty()) {
      result.warnings.push_back(fmt::format(
          "Not matched on {}: {}.", characteristic_words(name), why));
      continue;
    }
    result.characteristics.push_back(name);
    if (asked_for) continue;
    const double between = apart(shared, name);
    if (between > rules.most_shared * pooled_spread(files, name)) {
      result.not_matched.insert(name);
    }
  }
}

void fill(Sample& sample, const Opened& file) {
  const auto order = file.table->column("order");
  const auto rho = file.table->column("rho_xy");
  std::vector<int> columns;
  for (const std::string& name : sample.characteristics) {
    columns.push_back(column_in(file.trial, name));
  }
  for (const std::size_t r : file.kept) {
    const auto row = static_cast<int>(r);
    if (!file.trial.values(row, columns).array().isFinite().all()) {
      ++sample.not_known;
      continue;
    }
    sample.feeds.push_back(file.trial.feeds[r]);
    sample.rows.push_back(r);
    sample.order.push_back(order ? file.table->require_number(r, *order)
                                 : file.trial.feeds[r]);
    const auto known_rho = rho ? file.table->number(r, *rho) : std::nullopt;
    sample.rho_xy.push_back(std::clamp(known_rho.value_or(0), -0.999, 0.999));
  }
  const auto p = static_cast<Eigen::Index>(columns.size());
  sample.values.resize(sample.size(), p);
  sample.sigmas.resize(sample.size(), p);
  for (int i = 0; i < sample.size(); ++i) {
    const auto row = static_cast<int>(sample.rows[static_cast<std::size_t>(i)]);
    sample.values.row(i) = file.trial.values(row, columns);
    sample.sigmas.row(i) = file.trial.sigmas(row, columns);
  }
  sample.sigmas =
      sample.sigmas.unaryExpr([](double s) { return s > 0 ? s : 0; });
  sample.ordered = order.has_value();
}

}  // namespace

void SampleRules::check() const {
  require_in_range(most_missing, 0, 1, "most_missing");
  require_in_range(most_shared, 0, 100, "most_shared");
}

Samples read_samples(const std::vector<CsvTable>& tables,
                     const std::vector<std::string>& names,
                     const std::vector<std::string>& wanted,
                     bool must_have_all,
                     const SampleRules& rules,
                     const std::vector<SharedUncertainty>& shared) {
  rules.check();
  require(tables.size() >= 2 && tables.size() == names.size(),
          "two samples or more, each with a name");
  require(shared.empty() || shared.size() == tables.size(),
          "what the films share uncertainly is told for each or for none");
  std::vector<Opened> files;
  Samples result;
  for (const CsvTable& table : tables) {
    Opened file{
        &table,
        read_trial(table,
                   wanted,
                   must_have_all ? Wanted::kRequired : Wanted::kIfPresent,
                   rules.split ? Gaps::kExpected : Gaps::kTell),
        {}};
    file.kept = kept_rows(table, file.trial, rules.include_review);
    if (file.kept.empty()) {
      throw InputError(table.name(),
                       "no feed in it may be used",
                       rules.include_review
                           ? "Look at the reasons in its column 'reasons'"
                           : "Look at the reasons, or take feeds under review "
                             "too with --include review");
    }
    for (const std::string& warning : file.trial.warnings) {
      result.warnings.push_back(table.name() + ": " + warning + ".");
    }
    files.push_back(std::move(file));
  }
  choose_characteristics(files, rules, shared, must_have_all, result);
  if (result.characteristics.size() == result.not_matched.size()) {
    throw InputError(
        fmt::format("{}", fmt::join(names, ", ")),
        "the files have no characteristic in common to match feeds on",
        "Name columns that all of them have with --characteristics a,b,c");
  }
  for (std::size_t s = 0; s < files.size(); ++s) {
    Sample sample;
    sample.name = names[s];
    sample.characteristics = result.characteristics;
    sample.not_matched = result.not_matched;
    sample.feeds_in_file = static_cast<int>(files[s].trial.feeds.size());
    sample.not_kept =
        sample.feeds_in_file - static_cast<int>(files[s].kept.size());
    sample.judged = files[s].table->column("verdict").has_value();
    if (!shared.empty()) sample.shared = shared[s];
    fill(sample, files[s]);
    if (sample.size() == 0) {
      throw InputError(files[s].table->name(),
                       "no feed has all the characteristics to match on",
                       "Name fewer with --characteristics a,b,c");
    }
    result.all.push_back(std::move(sample));
  }
  return result;
}

}  // namespace evenfeed
