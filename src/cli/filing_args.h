// SPDX-License-Identifier: MIT
// The options by which a session is filed in a store, and the filing.
#pragma once

#include "cli/arguments.h"
#include "quality/qualification.h"
#include "session/store.h"

#include <filesystem>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

class JobFiles;
struct FlightOptions;
struct NamedText;

/// Where a session was filed.
struct Filed {
  int session = 0;
  std::string db;     ///< empty: nowhere
  std::string words;  ///< a line
};

class FilingArgs {
 public:
  void setup(Arguments& args);
  /// Everything but --db.
  void setup_description(Arguments& args, const std::string& group);
  void declare(JobFiles& files) const;
  /// What was said of the room goes before the profile.
  void apply_temperature(FlightOptions& flight) const;
  bool wanted() const { return !db_.empty(); }

  /// Before the work: the options make sense, the store can be written to (or
  /// made: it is not made yet), and the film is not in it yet. Throws
  /// UsageError or InputError. Without --db nothing is done.
  void prepare(const std::filesystem::path& film);

  /// After it: files the session whole or not at all.
  Filed file(const NamedText& profile,
             const std::string& bench_text,
             const std::vector<Feed>& feeds,
             const Qualification& result);

  /// Files what is in a session folder; options stand over what it tells. The
  /// film, its profile and its date may be empty where the folder tells them.
  /// A folder that knows no film is known again by its tagged.csv.
  Filed file_folder(const std::string& db,
                    const std::filesystem::path& folder,
                    const std::filesystem::path& film,
                    const std::string& profile);

  /// What was said about the session, the film as it is known again by, and
  /// its date: --date, or what the film itself says, or when it was last
  /// written (for a film straight from the camera, the end of the session).
  SessionRecord described(const std::filesystem::path& film);
  /// Why that date may be wrong; empty: nothing speaks against it.
  const std::string& date_doubt() const { return date_doubt_; }
  /// The film as it is known again by; read through once, here or before.
  const SourceFile& source(const std::filesystem::path& film);

 private:
  void check() const;
  void date(SessionHead& head, const std::filesystem::path& film);
  void describe(SessionRecord& record) const;
  Filed file_record(SessionRecord& record);

  std::string db_;
  std::string launcher_;
  std::string sample_;
  std::string balls_;
  std::string date_;
  std::string date_doubt_;
  std::string note_;
  std::vector<std::string> settings_;
  std::string setup_name_;
  double temperature_C_ = std::numeric_limits<double>::quiet_NaN();
  std::vector<std::string> properties_;
  bool replace_ = false;
  SessionRecord record_;
  std::unique_ptr<Store> store_;
};

/// The date of an option. Throws UsageError naming it.
UnixSeconds required_date(const std::string& text, const std::string& option);

/// A name that goes into tables. Throws UsageError for one that a spreadsheet
/// would take for a formula, or that holds control characters.
void require_plain_name(const std::string& name, const std::string& option);

/// Text that goes into tables. Throws UsageError naming the option for control
/// characters and what is no UTF-8.
void require_one_line(const std::string& text, const std::string& option);

}  // namespace evenfeed
