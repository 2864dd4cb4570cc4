// SPDX-License-Identifier: MIT
#include "session/session_folder.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/sha256.h"
#include "base/whole_number.h"
#include "session/json_file.h"
#include "session/json_text.h"
#include "session/tagged_file.h"

#include <cmath>
#include <set>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kPictures = "pictures";

// A count of a picture's pixels or frames; 0: not told.
int count_in(const JsonFile& file,
             const std::map<std::string, double>& picture,
             const char* key) {
  const auto found = picture.find(key);
  if (found == picture.end()) return 0;
  const auto number = whole_number(found->second);
  if (!number || *number < 0) file.refuse_key(key, "a whole number from 0");
  return *number;
}

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
  from.film.width_px = count_in(file, picture, "width_px");
  from.film.height_px = count_in(file, picture, "height_px");
  from.film.frames = count_in(file, picture, "frames");
  const auto duration = picture.find("duration_s");
  if (duration != picture.end()) from.film.duration_s = duration->second;
  const auto slow = picture.find("slow");
  if (slow != picture.end()) from.film.slow = slow->second;
  const auto clock = picture.find("clock_sd");
  if (clock != picture.end()) from.film.clock_sd = clock->second;
  return from;
}

void read_judgement(const JsonFile& file, SessionHead& head) {
  head.ready = file.flag("ready");
  head.ready_at_feed = file.feed("ready_at_feed");
  head.stable_from_feed = file.feed("stable_from_feed");
}

}  // namespace

fs::path feed_picture(int feed) {
  return fs::path(kPictures) / fmt::format("feed-{:03}.jpg", feed);
}

void remove_other_pictures(const fs::path& folder,
                           const std::vector<int>& feeds) {
  std::set<fs::path> ours;
  for (const int feed : feeds) ours.insert(folder / feed_picture(feed));
  std::vector<fs::path> others;
  std::error_code ec;
  for (fs::directory_iterator it(folder / kPictures, ec), end; !ec && it != end;
       it.increment(ec)) {
    const std::string name = it->path().filename().string();
    const bool named_so = name.starts_with("feed-") && name.ends_with(".jpg");
    if (named_so && !ours.contains(it->path())) others.push_back(it->path());
  }
  for (const fs::path& one : others) fs::remove(one, ec);
  if (fs::is_empty(folder / kPictures, ec) && !ec) {
    fs::remove(folder / kPictures, ec);
  }
}

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
              {"duration_s", provenance.film.duration_s},
              {"slow", provenance.film.slow},
              {"clock_sd", provenance.film.clock_sd}}},
            {"filmed", date_time_text(head.started_at)},
            {"dated_by", head.dated_by},
            {"profile", head.profile_name},
            {"launcher", text_or_null(head.launcher)},
            {"sample", text_or_null(head.sample)},
            {"balls", text_or_null(head.ball_set)},
            {"note", text_or_null(head.note)},
            {"settings", object(provenance.settings)},
            {"sample_properties", object(provenance.sample_properties)},
            {"shared_uncertainty", Json::object()},
            {"shared_causes", Json::array()}};
  for (const auto& [column, sigma] : shared.sigma) {
    if (std::isfinite(sigma)) json["shared_uncertainty"][column] = sigma;
  }
  for (const SharedCause& cause : shared.causes) {
    json["shared_causes"].push_back({{"cause", cause.name},
                                     {"of", cause.of},
                                     {"believed", cause.believed},
                                     {"sd", cause.sd},
                                     {"spread", cause.spread},
                                     {"moves", cause.moves}});
  }
  return json_text(json);
}

Provenance read_provenance(const fs::path& folder) {
  const fs::path file = folder / "session.json";
  std::error_code none;
  require_file_if_there(file);
  return fs::exists(file, none) ? provenance_in(JsonFile(file)) : Provenance();
}

namespace {

std::vector<SharedCause> shared_causes(const JsonFile& file) {
  std::vector<SharedCause> causes;
  for (const JsonFile& one : file.objects("shared_causes")) {
    causes.push_back({one.text("cause"),
                      one.text("of"),
                      one.number("believed"),
                      one.number("sd"),
                      one.number("spread"),
                      one.numbers("moves")});
    if (!(causes.back().sd > 0)) one.refuse_key("sd", "above 0");
  }
  return causes;
}

}  // namespace

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
    all.back().sigma = file.numbers("shared_uncertainty");
    all.back().causes = shared_causes(file);
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
  for (const char* name : kSessionFiles) require_file_if_there(folder / name);
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
