// SPDX-License-Identifier: MIT
#include "cli/session_folder.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/sha256.h"
#include "session/feeds_file.h"
#include "session/tag_words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

using Json = nlohmann::ordered_json;

// A JSON file whose values may be missing but not of another kind.
class JsonFile {
 public:
  explicit JsonFile(const fs::path& path)
      : path_(path.string()),
        json_(Json::parse(read_file(path), nullptr, false)) {
    if (!json_.is_object()) refuse("this is not JSON as evenfeed writes it");
  }

  bool has(const char* key) const {
    return json_.contains(key) && !json_[key].is_null();
  }
  std::string text(const char* key) const {
    if (!has(key)) return {};
    if (!json_[key].is_string()) refuse_key(key, "a text");
    return json_[key].get<std::string>();
  }
  std::int64_t whole(const char* key) const {
    if (!json_[key].is_number_integer()) refuse_key(key, "a whole number");
    return json_[key].get<std::int64_t>();
  }
  bool flag(const char* key) const {
    if (!json_[key].is_boolean()) refuse_key(key, "true or false");
    return json_[key].get<bool>();
  }
  std::optional<int> feed(const char* key) const {
    if (!has(key)) return std::nullopt;
    return static_cast<int>(whole(key));
  }
  std::vector<Property> properties(const char* key) const {
    std::vector<Property> out;
    if (!has(key)) return out;
    if (!json_[key].is_object()) refuse_key(key, "key and value pairs");
    for (const auto& [name, value] : json_[key].items()) {
      if (!value.is_string()) refuse_key(name.c_str(), "a text");
      out.push_back({name, value.get<std::string>()});
    }
    return out;
  }
  std::map<std::string, double> numbers(const char* key) const {
    std::map<std::string, double> out;
    if (!has(key)) return out;
    if (!json_[key].is_object()) refuse_key(key, "names and numbers");
    for (const auto& [name, value] : json_[key].items()) {
      if (!value.is_number()) refuse_key(name.c_str(), "a number");
      out[name] = value.get<double>();
    }
    return out;
  }
  std::string without(const char* key) const {
    Json rest = json_;
    rest.erase(key);
    return rest.dump(-1, ' ', false, Json::error_handler_t::replace);
  }

 private:
  [[noreturn]] void refuse(const std::string& problem) const {
    throw InputError(
        path_, problem, "Run 'evenfeed session' into the folder anew");
  }
  [[noreturn]] void refuse_key(const char* key, const char* allowed) const {
    refuse(fmt::format("'{}' is missing or not {}", key, allowed));
  }
  std::string path_;
  Json json_;
};

Provenance provenance_in(const JsonFile& file) {
  Provenance from;
  SessionHead& head = from.head;
  head.launcher = file.text("launcher");
  head.sample = file.text("sample");
  head.ball_set = file.text("balls");
  head.note = file.text("note");
  head.profile_name = file.text("profile");
  head.program_version = file.text("program_version");
  head.dated_by = file.text("dated_by");
  head.source.path = file.text("film");
  head.source.sha256 = file.text("sha256");
  if (file.has("bytes")) head.source.bytes = file.whole("bytes");
  if (const auto filmed = parse_date_time(file.text("filmed"))) {
    head.started_at = *filmed;
  }
  from.settings = file.properties("settings");
  from.sample_properties = file.properties("sample_properties");
  const std::map<std::string, double> picture = file.numbers("picture");
  const auto number = [&](const char* key) {
    const auto found = picture.find(key);
    return found == picture.end() ? 0 : found->second;
  };
  from.film.width_px = static_cast<int>(number("width_px"));
  from.film.height_px = static_cast<int>(number("height_px"));
  from.film.frames = static_cast<int>(number("frames"));
  from.film.duration_s = number("duration_s");
  return from;
}

void read_judgement(const JsonFile& file, SessionHead& head) {
  head.ready = file.flag("ready");
  head.ready_at_feed = file.feed("ready_at_feed");
  head.stable_from_feed = file.feed("stable_from_feed");
}

std::vector<TaggedFeed> read_tagged(const CsvTable& table) {
  table.require_column("phase");
  table.require_column("verdict");
  const std::size_t reasons = table.require_column("reasons");
  std::vector<TaggedFeed> tagged;
  for (const Feed& feed : read_feeds(table)) {
    const std::size_t row = tagged.size();
    tagged.push_back({feed,
                      phase_word(table, row),
                      verdict_word(table, row),
                      table.text(row, reasons)});
  }
  return tagged;
}

}  // namespace

SourceFile source_of(const fs::path& file) {
  std::error_code unknown;
  SourceFile source;
  source.path = fs::absolute(file).string();
  source.sha256 = sha256_of_file(file);
  source.bytes = static_cast<std::int64_t>(fs::file_size(file, unknown));
  return source;
}

std::string film_json(const Provenance& provenance,
                      const SharedUncertainty& shared) {
  const SessionHead& head = provenance.head;
  const auto text_or_null = [](const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
  };
  const auto object = [](const std::vector<Property>& properties) {
    Json json = Json::object();
    for (const Property& one : properties) json[one.key] = one.value;
    return json;
  };
  Json json{{"program_version", head.program_version},
            {"film", head.source.path},
            {"bytes", head.source.bytes},
            {"sha256", head.source.sha256},
            {"picture",
             {{"width_px", provenance.film.width_px},
              {"height_px", provenance.film.height_px},
              {"frames", provenance.film.frames},
              {"duration_s", provenance.film.duration_s}}},
            {"filmed", date_time_text(head.started_at)},
            {"dated_by", head.dated_by},
            {"profile", head.profile_name},
            {"launcher", text_or_null(head.launcher)},
            {"sample", text_or_null(head.sample)},
            {"balls", text_or_null(head.ball_set)},
            {"note", text_or_null(head.note)},
            {"settings", object(provenance.settings)},
            {"sample_properties", object(provenance.sample_properties)},
            {"shared_uncertainty", Json::object()}};
  for (const auto& [column, sigma] : shared) {
    if (std::isfinite(sigma)) json["shared_uncertainty"][column] = sigma;
  }
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Provenance read_provenance(const fs::path& folder) {
  const fs::path file = folder / "session.json";
  std::error_code none;
  require_file_if_there(file);
  return fs::exists(file, none) ? provenance_in(JsonFile(file)) : Provenance();
}

std::vector<SharedUncertainty> shared_uncertainties(
    const std::vector<std::string>& feeds_files) {
  std::vector<SharedUncertainty> all;
  std::set<std::string> films;
  for (const std::string& feeds : feeds_files) {
    all.emplace_back();
    const fs::path beside = fs::path(feeds).parent_path() / "session.json";
    std::error_code none;
    require_file_if_there(beside);
    if (!fs::exists(beside, none)) {
      films.insert(feeds);
      continue;
    }
    const JsonFile file(beside);
    all.back() = file.numbers("shared_uncertainty");
    films.insert(file.has("sha256") ? file.text("sha256") : feeds);
  }
  if (films.size() > 1) return all;
  return std::vector<SharedUncertainty>(feeds_files.size());
}

SessionRecord read_session_folder(const fs::path& folder) {
  std::error_code none;
  const auto text_of = [&](const char* name) {
    const fs::path path = folder / name;
    return fs::exists(path, none) ? read_file(path) : std::string();
  };
  for (const char* name : {"tagged.csv",
                           "bench.toml",
                           "profile.toml",
                           "baseline.json",
                           "session.json",
                           "summary.json"}) {
    require_file_if_there(folder / name);
  }
  if (!fs::exists(folder / "tagged.csv", none)) {
    throw InputError(folder.string(),
                     "there is no tagged.csv in it",
                     "Give the folder that 'evenfeed session' or 'evenfeed "
                     "store export' wrote");
  }
  SessionRecord record;
  record.feeds = read_tagged(CsvTable::read(folder / "tagged.csv"));
  record.bench_text = text_of("bench.toml");
  record.profile_text = text_of("profile.toml");
  record.baseline_text = text_of("baseline.json");
  const bool has_session = fs::exists(folder / "session.json", none);
  Provenance from = read_provenance(folder);
  record.head = std::move(from.head);
  record.settings = std::move(from.settings);
  record.sample_properties = std::move(from.sample_properties);
  const bool has_summary = fs::exists(folder / "summary.json", none);
  if (has_summary) {
    const JsonFile summary(folder / "summary.json");
    read_judgement(summary, record.head);
    record.summary_text = summary.without("charts");
  } else if (has_session) {
    read_judgement(JsonFile(folder / "session.json"), record.head);
  } else {
    throw InputError(folder.string(),
                     "there is no summary.json in it",
                     "Write it with 'evenfeed qualify --summary'");
  }
  return record;
}

}  // namespace evenfeed
