// SPDX-License-Identifier: MIT
// evenfeed pair A.csv B.csv: did the samples differ, given the same feed?
#pragma once

#include "base/csv.h"
#include "cli/command.h"
#include "cli/usual_profile.h"
#include "cli/written_files.h"
#include "report/pair_input.h"

#include <cstdint>
#include <string>
#include <vector>

namespace evenfeed {

class JobFiles;
struct NamedText;
struct Profile;

class PairCommand : public Command {
 public:
  std::string_view name() const override { return "pair"; }
  std::string_view task() const override { return "Compare samples"; }
  std::string_view summary() const override {
    return "Compare samples on trials that got the same feed";
  }
  std::string_view example() const override {
    return "evenfeed pair sheet-K/tagged.csv sheet-M/tagged.csv "
           "--names K,M --out K-M";
  }
  void setup(Arguments& args) override;
  int run() override;

 private:
  int compare_counts() const;
  void check_use() const;
  void read_feeds(std::vector<CsvTable>& tables,
                  std::vector<std::string>& names,
                  std::vector<std::string>& notes) const;
  void declare(JobFiles& files, const NamedText& profile) const;
  ComparisonOptions comparison_options(const Profile& profile) const;
  PairInput compared(const std::string& profile_name,
                     const Profile& profile) const;
  /// Into --out and --pictures, if they were given; what was written.
  std::vector<WrittenFile> write(const PairInput& input) const;

  std::vector<std::string> feeds_;
  std::string profile_ = kUsualProfile;
  std::vector<std::string> names_;
  std::vector<std::string> characteristics_;
  std::vector<std::string> outcome_files_;
  std::vector<std::string> outcomes_;
  std::string order_;
  std::string samples_;
  std::string include_;
  std::vector<std::string> counts_;
  bool no_calipers_ = false;
  double caliper_sd_ = 0;
  int ratio_ = 1;
  int planned_ = 0;
  double difference_ = 0;
  double confidence_ = 0.95;
  std::string out_;
  std::string pictures_;
  bool json_ = false;
  bool quiet_ = false;
};

}  // namespace evenfeed
