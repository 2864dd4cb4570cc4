// SPDX-License-Identifier: MIT
#include "cli/cmd_pair.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/csv_input.h"
#include "cli/drawing_files.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/share_words.h"
#include "pairing/comparison_files.h"
#include "pairing/trial_sheet.h"
#include "pairing/words.h"
#include "pipeline/profile.h"
#include "report/pair_page.h"
#include "session/session_folder.h"

#include <filesystem>
#include <set>

#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

// A session folder's name says more than "tagged".
std::string default_name(const fs::path& file) {
  const std::string stem = file.stem().string();
  const std::string folder = file.parent_path().filename().string();
  const bool usual = stem == "tagged" || stem == "feeds" || stem == "truth";
  return usual && !folder.empty() ? folder : stem;
}

std::vector<std::string> sample_names(const std::vector<std::string>& files,
                                      const std::vector<std::string>& given) {
  std::vector<std::string> names = given;
  if (names.empty()) {
    for (const std::string& file : files) names.push_back(default_name(file));
  }
  if (names.size() != files.size()) {
    throw UsageError(
        fmt::format("--names: {} names for {} files; give one for "
                    "each, separated by commas",
                    names.size(),
                    files.size()));
  }
  if (std::set<std::string>(names.begin(), names.end()).size() !=
      names.size()) {
    throw UsageError(
        "two samples have the same name; tell them apart with --names K,M");
  }
  return names;
}

// A table and, in `notes`, how it was read when not as plain CSV.
CsvTable read_noted(const std::string& file, std::vector<std::string>& notes) {
  CsvTable table = read_csv_input(file);
  if (!table.note().empty())
    notes.push_back(fmt::format("{}: {}.", file, table.note()));
  return table;
}

std::vector<CsvTable> read_all(const std::vector<std::string>& files,
                               std::vector<std::string>& notes) {
  std::vector<CsvTable> tables;
  for (const std::string& file : files) {
    tables.push_back(read_noted(file, notes));
  }
  return tables;
}

std::string comparison_words(const Comparison& comparison) {
  std::string text = matching_sentence(comparison) + "\n";
  for (const Effect& effect : comparison.effects) {
    text += "\n" + effect_sentence(comparison, effect) + "\n";
    for (const std::string& line : effect_details(comparison, effect)) {
      text += "  " + line + "\n";
    }
  }
  if (comparison.effects.empty()) {
    text +=
        "\nNo outcome was given: name columns with --outcome, or files with "
        "--outcomes.\n";
  }
  const auto list = [&](std::string_view heading,
                        const std::vector<std::string>& lines) {
    if (lines.empty()) return;
    text += fmt::format("\n{}\n", heading);
    for (const std::string& line : lines) text += "  - " + line + "\n";
  };
  list("What this test cannot tell:", comparison.caveats);
  list("Left out:", comparison.warnings);
  return text;
}

}  // namespace

void PairCommand::setup(Arguments& args) {
  args.add_option(
          "FEEDS", feeds_, "Tagged feeds of two samples or more, one CSV each")
      .takes("FILE");
  args.add_option("--profile", profile_, "Profile NAME or FILE: the calipers")
      .takes("PROFILE")
      .show_default();
  args.add_option("--names",
                  names_,
                  "Names of the samples, K,M; default: those of the files or "
                  "their folders")
      .takes("NAMES")
      .comma_separated();
  args.add_option("--outcomes",
                  outcome_files_,
                  "CSVs with a column 'feed' and a column per outcome, one for "
                  "each sample; without them the ret_ columns of FEEDS")
      .takes("FILE")
      .count(1, 100);
  args.add_option("--outcome", outcomes_, "Outcomes to compare, a,b,c")
      .takes("COLUMNS")
      .comma_separated();
  args.add_option(
          "--characteristics",
          characteristics_,
          "Columns to match on, a,b,c; default: those with a caliper in "
          "the profile")
      .takes("COLUMNS")
      .comma_separated();
  args.add_option(
          "--order",
          order_,
          "The filled-in sheet of 'plan order': which feed was whose, "
          "and when. One FEEDS file may then hold all samples; one with "
          "a column 'sample' (of 'live') needs no sheet")
      .takes("FILE");
  args.add_option(
          "--samples",
          samples_,
          "CSV of what is declared about the samples: 'sample', 'kind', "
          "and a column per property")
      .takes("FILE");
  args.add_option("--include",
                  include_,
                  "'review': use feeds under review too, not only those kept");
  args.add_option("--ratio",
                  ratio_,
                  "Feeds of the second sample per feed of the first, at most")
      .show_default();
  args.add_option("--caliper-sd",
                  caliper_sd_,
                  "One caliper for every characteristic, in its pooled sd")
      .above_zero();
  args.add_flag("--no-calipers", no_calipers_, "Match without limits");
  args.add_option("--planned", planned_, "Pairs the test was planned for");
  args.add_option("--difference",
                  difference_,
                  "Say how many pairs a difference of this size takes")
      .above_zero();
  args.add_option("--confidence", confidence_, "Of every interval")
      .show_default();
  args.add_option("--counts",
                  counts_,
                  "No feeds, only success counts: 4/22,11/20,19/21")
      .takes("COUNTS")
      .comma_separated();
  args.add_option("--out",
                  out_,
                  "Folder for pairs.csv, left_out.csv, balance.csv, "
                  "effect.json, pair.html")
      .takes("FOLDER");
  args.add_option("--pictures", pictures_, kPicturesHelp).takes("FOLDER");
  args.add_json(json_, "effect.json, or what --counts says,");
  args.add_quiet(quiet_);
}

int PairCommand::compare_counts() const {
  if (!feeds_.empty()) {
    throw UsageError("--counts stands for itself; leave out the feeds files");
  }
  const SharesCompared shares = compare_shares(counts_, names_, confidence_);
  if (json_) {
    fmt::print("{}", shares_json(shares));
  } else if (!quiet_) {
    print_words(shares_words(shares));
  }
  return kExitDone;
}

void PairCommand::check_use() const {
  if (feeds_.empty()) {
    throw UsageError(
        "two feeds files or more are needed, or one with its --order or a "
        "column 'sample' (or --counts 4/22,11/20)");
  }
  if (!outcome_files_.empty() && outcome_files_.size() != feeds_.size()) {
    throw UsageError(fmt::format("--outcomes: {} files for {} samples",
                                 outcome_files_.size(),
                                 feeds_.size()));
  }
  if (!include_.empty() && include_ != "review") {
    throw UsageError("--include: " + include_ + ": allowed is 'review'");
  }
  if (ratio_ > 1 && feeds_.size() > 2) {
    throw UsageError("--ratio is for two samples");
  }
}

void PairCommand::read_feeds(std::vector<CsvTable>& tables,
                             std::vector<std::string>& names,
                             std::vector<std::string>& notes) const {
  // What is not split is told of by read_samples.
  std::vector<std::string> told_there;
  tables = read_all(feeds_,
                    order_.empty() && feeds_.size() > 1 ? told_there : notes);
  if (order_.empty() && tables.size() == 1) {
    const CsvTable whole = tables[0];
    names = names_.empty() ? samples_told_in(whole) : names_;
    if (names.size() < 2) {
      throw UsageError("--names " + names[0] +
                       ": give those of two samples or more");
    }
    tables.clear();
    for (const std::string& name : names) {
      tables.push_back(feeds_told_of(whole, name));
    }
    return;
  }
  if (order_.empty()) {
    names = sample_names(feeds_, names_);
    return;
  }
  const CsvTable sheet = read_noted(order_, notes);
  if (tables.size() == 1) {
    require_one_sample_a_feed(sheet);
    names = names_.empty() ? samples_in_order(sheet) : names_;
    if (names.size() < 2) {
      throw InputError(order_,
                       "it names fewer than two samples",
                       "Fill in its sample column");
    }
    tables.assign(names.size(), tables[0]);
  } else {
    names = sample_names(feeds_, names_);
  }
  for (std::size_t s = 0; s < tables.size(); ++s) {
    const int planned = planned_trials(sheet, names[s]);
    tables[s] = feeds_of_sample(tables[s], sheet, names[s]);
    const int missing = planned - static_cast<int>(tables[s].rows());
    if (missing <= 0) continue;
    notes.push_back(fmt::format("{}: {} of {} planned trials of {} {} no feed",
                                order_,
                                missing,
                                planned,
                                names[s],
                                missing == 1 ? "has" : "have"));
  }
}

void PairCommand::declare(JobFiles& files, const NamedText& profile) const {
  files.reads("FEEDS", feeds_);
  files.reads("--profile", profile.file);
  files.reads("--outcomes", outcome_files_);
  files.reads("--order", order_);
  files.reads("--samples", samples_);
  files.writes_in(
      "--out",
      out_,
      {"pairs.csv", "left_out.csv", "balance.csv", "effect.json", "pair.html"});
}

ComparisonOptions PairCommand::comparison_options(
    const Profile& profile) const {
  ComparisonOptions options;
  options.calipers.use = !no_calipers_;
  options.calipers.width = profile.calipers;
  options.calipers.all_sd = caliper_sd_;
  options.ratio = ratio_;
  options.planned_pairs = planned_;
  options.effect.confidence = confidence_;
  options.effect.difference = difference_;
  options.check();
  return options;
}

PairInput PairCommand::compared(const std::string& profile_name,
                                const Profile& profile) const {
  const ComparisonOptions options = comparison_options(profile);
  SampleRules rules;
  rules.include_review = include_ == "review";
  rules.split = !order_.empty() || feeds_.size() == 1;
  std::vector<std::string> wanted = characteristics_;
  if (wanted.empty()) {
    for (const auto& [name, width] : profile.calipers) wanted.push_back(name);
  }
  std::vector<CsvTable> tables;
  std::vector<std::string> names;
  std::vector<std::string> notes;
  read_feeds(tables, names, notes);
  Samples samples =
      read_samples(tables,
                   names,
                   wanted,
                   !characteristics_.empty(),
                   rules,
                   feeds_.size() > 1 ? shared_uncertainties(feeds_)
                                     : std::vector<SharedUncertainty>{});
  const bool elsewhere = !outcome_files_.empty();
  std::vector<CsvTable> outcome_tables =
      elsewhere ? read_all(outcome_files_, notes) : tables;
  // One outcome file for the one feeds file that holds all samples.
  if (outcome_tables.size() == 1) {
    outcome_tables.assign(names.size(), outcome_tables[0]);
  }
  const Outcomes outcomes =
      read_outcomes(samples.all, outcome_tables, elsewhere, outcomes_);
  std::optional<SampleSheet> declared;
  if (!samples_.empty()) {
    declared = read_sample_sheet(read_noted(samples_, notes));
  }
  samples.warnings.insert(samples.warnings.begin(), notes.begin(), notes.end());
  PairInput input;
  input.comparison = compare(std::move(samples), outcomes, declared, options);
  input.declared = std::move(declared);
  input.profile_name = profile_name;
  input.surface = profile.surface;
  for (const std::string& one : feeds_) {
    input.sources.push_back(load_pair_source(one));
  }
  return input;
}

std::vector<WrittenFile> PairCommand::write(const PairInput& input) const {
  std::vector<WrittenFile> written;
  if (!out_.empty()) {
    const Comparison& comparison = input.comparison;
    const fs::path out(out_);
    const OutputFolder folder(out);
    write_files_whole({{out / "pairs.csv", pairs_text(comparison)},
                       {out / "left_out.csv", left_out_text(comparison)},
                       {out / "balance.csv", balance_text(comparison)},
                       {out / "effect.json", effect_text(comparison)},
                       {out / "pair.html", pair_page(input)}});
    written = {{out / "pair.html", "the page: open it"},
               {out / "pairs.csv", "which feeds were matched, and how near"},
               {out / "left_out.csv", "feeds without a partner, and why"},
               {out / "balance.csv", "how alike the feeds of both are"},
               {out / "effect.json", "the differences, for programs"}};
  }
  written.push_back(
      write_drawings(pictures_, [&] { return pair_drawings(input); }));
  return written;
}

int PairCommand::run() {
  if (!counts_.empty()) return compare_counts();
  check_use();
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  declare(files, profile_text);
  files.check();
  const PairInput input =
      compared(profile_text.name, load_profile(profile_text));
  const std::vector<WrittenFile> written = write(input);
  const Comparison& comparison = input.comparison;
  if (json_) {
    fmt::print("{}", json_with_written(effect_text(comparison), written));
  } else if (!quiet_) {
    print_words(words_with_written(comparison_words(comparison), written));
  }
  return kExitDone;
}

}  // namespace evenfeed
