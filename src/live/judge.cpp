// SPDX-License-Identifier: MIT
#include "live/judge.h"

#include "base/error.h"
#include "quality/trial_table.h"
#include "session/feeds_file.h"

#include <utility>

namespace evenfeed {
namespace {

Measured value_of(const Feed& feed, const std::string& column) {
  if (const auto id = find_characteristic(column)) return feed[*id];
  for (const ReturnValueInfo& one : return_values()) {
    if (one.column == column) {
      return feed.returned[static_cast<std::size_t>(one.id)];
    }
  }
  return {};
}

}  // namespace

TrialRow trial_row_of(const Feed& feed,
                      const std::vector<std::string>& columns) {
  TrialRow row;
  row.feed = feed.number;
  const auto p = static_cast<Eigen::Index>(columns.size());
  row.values.setConstant(p, kNotKnown);
  row.sigmas.setConstant(p, kNotKnown);
  if (feed.status == FeedStatus::kUnmeasured) {
    row.unmeasured = feed.note.empty() ? "not measured" : feed.note;
    return row;
  }
  for (Eigen::Index j = 0; j < p; ++j) {
    const Measured one = value_of(feed, columns[static_cast<std::size_t>(j)]);
    row.values(j) = one.value;
    row.sigmas(j) = one.sigma;
  }
  return row;
}

void JudgeOptions::check() const { quality.check(); }

Judge::Judge(JudgeOptions options) : options_(std::move(options)) {
  options_.check();
  restart({});
}

void Judge::begin(std::vector<std::string> characteristics) {
  characteristics_ = std::move(characteristics);
  qualifier_ = std::make_shared<Qualifier>(
      characteristics_, options_.quality, options_.given);
}

void Judge::restart(const std::vector<Feed>& feeds) {
  const std::vector<std::string>& wanted =
      options_.given ? options_.given->characteristics
                     : options_.quality.characteristics;
  TrialTable table;
  try {
    table = read_trial(CsvTable::parse(feeds_text(feeds), "feeds.csv"), wanted);
  } catch (const InputError&) {
    // Too little is known yet to say which columns there will be.
    begin(wanted.empty() ? default_characteristics() : wanted);
    for (const Feed& feed : feeds) add(feed);
    if (feeds.empty()) result_ = qualifier_->result();
    return;
  }
  begin(table.characteristics);
  for (int i = 0; i < table.rows(); ++i) qualifier_->add(trial_row(table, i));
  result_ = qualifier_->result();
  result_.warnings.insert(
      result_.warnings.begin(), table.warnings.begin(), table.warnings.end());
}

void Judge::add(const Feed& feed) {
  qualifier_->add(trial_row_of(feed, characteristics_));
  result_ = qualifier_->result();
}

}  // namespace evenfeed
