// SPDX-License-Identifier: MIT
#include "plan/factors.h"

#include "base/check.h"
#include "base/error.h"
#include "stats/pivoted_qr.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <set>

#include <Eigen/Core>

namespace evenfeed {
namespace {

// More combinations of levels than these are not tried one by one.
constexpr std::size_t kMostCandidates = 20000;

using Rows = std::vector<std::vector<std::string>>;

bool parse_number(const std::string& text, double& value) {
  const char* end = text.data() + text.size();
  const auto result = std::from_chars(text.data(), end, value);
  return result.ec == std::errc() && result.ptr == end && std::isfinite(value);
}

std::vector<std::string> levels_of(const Rows& rows, std::size_t property) {
  std::set<std::string> levels;
  for (const auto& row : rows) levels.insert(row[property]);
  return {levels.begin(), levels.end()};
}

struct Coding {
  bool number = false;
  std::vector<std::string> levels;
  int degrees() const {
    if (levels.size() < 2) return 0;
    return number ? 1 : static_cast<int>(levels.size()) - 1;
  }
};

Coding coding_of(const Rows& rows, std::size_t property) {
  Coding coding;
  coding.levels = levels_of(rows, property);
  double value = 0;
  coding.number = std::all_of(
      coding.levels.begin(), coding.levels.end(), [&](const auto& text) {
        return parse_number(text, value);
      });
  return coding;
}

// The columns of one factor, about their mean.
Eigen::MatrixXd columns_of(const Rows& rows,
                           std::size_t property,
                           const Coding& coding) {
  Eigen::MatrixXd columns = Eigen::MatrixXd::Zero(
      static_cast<Eigen::Index>(rows.size()), coding.degrees());
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const auto row = static_cast<Eigen::Index>(r);
    if (coding.number && coding.degrees() > 0) {
      parse_number(rows[r][property], columns(row, 0));
    }
    for (int k = 0; !coding.number && k < coding.degrees(); ++k) {
      columns(row, k) =
          rows[r][property] == coding.levels[static_cast<std::size_t>(k) + 1];
    }
  }
  const Eigen::RowVectorXd mean = columns.colwise().mean();
  columns.rowwise() -= mean;
  return columns;
}

int rank_of_columns(Eigen::MatrixXd matrix) {
  if (matrix.cols() == 0 || matrix.rows() == 0) return 0;
  for (Eigen::Index c = 0; c < matrix.cols(); ++c) {
    const double norm = matrix.col(c).norm();
    if (norm > 0) matrix.col(c) /= norm;
  }
  return static_cast<int>(rank_of(matrix, 1e-9));
}

Eigen::MatrixXd beside(const std::vector<Eigen::MatrixXd>& blocks,
                       std::size_t without) {
  Eigen::Index columns = 0;
  for (std::size_t k = 0; k < blocks.size(); ++k) {
    if (k != without) columns += blocks[k].cols();
  }
  Eigen::MatrixXd all(blocks[0].rows(), columns);
  Eigen::Index at = 0;
  for (std::size_t k = 0; k < blocks.size(); ++k) {
    if (k == without) continue;
    all.middleCols(at, blocks[k].cols()) = blocks[k];
    at += blocks[k].cols();
  }
  return all;
}

struct Model {
  std::vector<Coding> codings;
  std::vector<Eigen::MatrixXd> blocks;
  int rank = 0;
  std::vector<int> free;
};

Model model_of(const Rows& rows, const std::vector<Coding>& codings) {
  Model model;
  model.codings = codings;
  for (std::size_t k = 0; k < codings.size(); ++k) {
    model.blocks.push_back(columns_of(rows, k, codings[k]));
  }
  model.rank = rank_of_columns(beside(model.blocks, codings.size()));
  for (std::size_t k = 0; k < codings.size(); ++k) {
    model.free.push_back(model.rank - rank_of_columns(beside(model.blocks, k)));
  }
  return model;
}

std::vector<Factor> factors_of(const SampleSheet& sheet, const Model& model) {
  std::vector<Factor> factors;
  for (std::size_t k = 0; k < sheet.properties.size(); ++k) {
    Factor factor;
    factor.name = sheet.properties[k];
    factor.number = model.codings[k].number;
    factor.levels = static_cast<int>(model.codings[k].levels.size());
    factor.degrees = model.codings[k].degrees();
    factor.free = model.free[k];
    if (factor.degrees > 0) {
      factor.separable = factor.free == factor.degrees ? Separable::kYes
                         : factor.free > 0             ? Separable::kPartly
                                                       : Separable::kNo;
    }
    for (std::size_t j = 0; j < model.blocks.size(); ++j) {
      if (j == k || factor.degrees == 0 || model.codings[j].degrees() == 0) {
        continue;
      }
      Eigen::MatrixXd both(model.blocks[k].rows(),
                           model.blocks[k].cols() + model.blocks[j].cols());
      both << model.blocks[j], model.blocks[k];
      if (rank_of_columns(both) == rank_of_columns(model.blocks[j])) {
        factor.aliased_with.push_back(sheet.properties[j]);
      }
    }
    factors.push_back(std::move(factor));
  }
  return factors;
}

std::vector<CleanContrast> contrasts_of(const SampleSheet& sheet) {
  std::vector<CleanContrast> contrasts;
  for (std::size_t i = 0; i < sheet.samples.size(); ++i) {
    for (std::size_t j = i + 1; j < sheet.samples.size(); ++j) {
      int differ = 0;
      std::size_t which = 0;
      for (std::size_t k = 0; k < sheet.properties.size(); ++k) {
        if (sheet.samples[i].values[k] == sheet.samples[j].values[k]) continue;
        ++differ;
        which = k;
      }
      if (differ != 1) continue;
      contrasts.push_back({sheet.samples[i].name,
                           sheet.samples[j].name,
                           sheet.properties[which]});
    }
  }
  return contrasts;
}

// Every combination of the values that occur.
Rows candidates_of(const std::vector<Coding>& codings) {
  Rows rows{{}};
  for (const Coding& coding : codings) {
    if (rows.size() * coding.levels.size() > kMostCandidates) return {};
    Rows longer;
    for (const auto& row : rows) {
      for (const std::string& level : coding.levels) {
        longer.push_back(row);
        longer.back().push_back(level);
      }
    }
    rows = std::move(longer);
  }
  return rows;
}

SuggestedSample describe(const SampleSheet& sheet,
                         const std::vector<std::string>& values,
                         const Model& before,
                         const Model& after) {
  SuggestedSample suggestion;
  suggestion.values = values;
  std::size_t fewest = sheet.properties.size() + 1;
  for (const DeclaredSample& sample : sheet.samples) {
    std::vector<std::string> changed;
    for (std::size_t k = 0; k < values.size(); ++k) {
      if (sample.values[k] != values[k]) changed.push_back(sheet.properties[k]);
    }
    if (changed.size() >= fewest) continue;
    fewest = changed.size();
    suggestion.like = sample.name;
    suggestion.changed = changed;
  }
  for (std::size_t k = 0; k < before.free.size(); ++k) {
    suggestion.gain += after.free[k] - before.free[k];
    if (after.free[k] > before.free[k]) {
      suggestion.frees.push_back(sheet.properties[k]);
    }
  }
  return suggestion;
}

}  // namespace

FactorReport analyse_factors(const SampleSheet& sheet, int most_suggestions) {
  if (sheet.samples.size() < 2) {
    throw UsageError("factors: two samples or more are needed");
  }
  Rows rows;
  std::map<std::string, int> of_kind;
  for (const DeclaredSample& sample : sheet.samples) {
    rows.push_back(sample.values);
    if (!sample.kind.empty()) ++of_kind[sample.kind];
  }
  std::vector<Coding> codings;
  FactorReport report;
  for (std::size_t k = 0; k < sheet.properties.size(); ++k) {
    codings.push_back(coding_of(rows, k));
    const auto& levels = codings.back().levels;
    if (std::count(levels.begin(), levels.end(), "") > 0) {
      report.incomplete.push_back(sheet.properties[k]);
    }
  }
  report.samples = static_cast<int>(rows.size());
  for (const auto& [kind, count] : of_kind) {
    if (count == 1) report.lonely_kinds.push_back(kind);
  }
  report.contrasts = contrasts_of(sheet);
  if (codings.empty()) {
    report.spare = report.samples - 1;
    return report;
  }
  const Model model = model_of(rows, codings);
  report.factors = factors_of(sheet, model);
  report.spare = report.samples - 1 - model.rank;

  for (const auto& candidate : candidates_of(codings)) {
    if (std::find(rows.begin(), rows.end(), candidate) != rows.end()) continue;
    Rows more = rows;
    more.push_back(candidate);
    const SuggestedSample suggestion =
        describe(sheet, candidate, model, model_of(more, codings));
    if (suggestion.gain > 0) report.suggestions.push_back(suggestion);
  }
  // The most freed, then the least new to make.
  std::stable_sort(report.suggestions.begin(),
                   report.suggestions.end(),
                   [](const auto& a, const auto& b) {
                     if (a.gain != b.gain) return a.gain > b.gain;
                     return a.changed.size() < b.changed.size();
                   });
  if (static_cast<int>(report.suggestions.size()) > most_suggestions) {
    report.suggestions.resize(static_cast<std::size_t>(most_suggestions));
  }
  return report;
}

}  // namespace evenfeed
