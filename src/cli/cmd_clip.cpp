// SPDX-License-Identifier: MIT
#include "cli/cmd_clip.h"

#include "base/counted.h"
#include "base/file_set.h"
#include "cli/filmed_session.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "pictures/feed_clip.h"
#include "report/report_input.h"
#include "session/json_text.h"
#include "session/session_folder.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

using Json = nlohmann::ordered_json;

constexpr double kBefore_s = 0.3;
constexpr double kAfter_s = 0.4;
constexpr double kUnmeasured_s = 1.0;  // what a feed that was not fitted takes

std::string clip_name(int feed) { return fmt::format("feed-{:03}.mp4", feed); }

void add_words(std::vector<std::string>& words,
               const char* what,
               double value,
               int decimals,
               const char* unit) {
  if (!std::isfinite(value)) return;
  words.push_back(fmt::format("{} {:.{}f} {}", what, value, decimals, unit));
}

std::vector<std::string> words_about(const JudgedFeed& one, int slow) {
  const Feed& feed = one.feed;
  const auto back = [&](ReturnValue id) {
    return feed.returned[static_cast<std::size_t>(id)].value;
  };
  std::vector<std::string> words{fmt::format("feed {}{}{}",
                                             feed.number,
                                             one.verdict.empty() ? "" : ", ",
                                             one.verdict)};
  if (slow > 1) words.front() += fmt::format(", {} times slower", slow);
  add_words(words, "speed", feed[Characteristic::kSpeedIn].value, 2, "m/s");
  add_words(words, "bounce x", feed[Characteristic::kX].value, 0, "mm");
  add_words(words, "bounce y", feed[Characteristic::kY].value, 0, "mm");
  add_words(words, "descent", feed[Characteristic::kDescent].value, 1, "deg");
  add_words(words, "return", back(ReturnValue::kSpeed), 2, "m/s");
  add_words(words, "its angle", back(ReturnValue::kAngle), 1, "deg");
  add_words(words, "highest", back(ReturnValue::kApex), 0, "mm");
  add_words(words, "at the net", back(ReturnValue::kNetHeight), 0, "mm");
  return words;
}

}  // namespace

void ClipCommand::setup(Arguments& args) {
  args.add_option("FILM", film_, "The film the session was measured from")
      .takes("FILE")
      .required();
  args.add_option("--feeds", feeds_, "Numbers of the feeds, as 12,21")
      .comma_separated()
      .required();
  args.add_option("--from",
                  from_,
                  "Session folder: session.json, feeds.csv and flights.csv "
                  "in it")
      .takes("FOLDER")
      .required();
  args.add_option("--out", out_, "Folder for the clips, feed-012.mp4 and so on")
      .takes("FOLDER")
      .required();
  args.add_option("--slow",
                  slow_,
                  "So many times slower than the film plays: every frame is "
                  "shown as often, none is invented; without sound")
      .within(1, 100)
      .show_default();
  args.add_flag("--plain", plain_, "Draw nothing: the frames as filmed");
  args.add_json(json_, "what was cut");
  args.add_quiet(quiet_);
}

ClipPart ClipCommand::part_of(const ReportInput& session,
                              const FilmedSession& filmed,
                              int number) const {
  const JudgedFeed& one = feed_of(session, number, "--feeds");
  ClipPart part;
  part.from_s = one.feed.t_launch_s;
  if (!std::isfinite(part.from_s)) part.from_s = one.feed.t_bounce_s - 0.5;
  part.until_s = part.from_s + kUnmeasured_s;
  if (std::isfinite(one.feed.t_bounce_s)) {
    part.until_s = std::max(part.until_s, one.feed.t_bounce_s);
  }
  if (const FlownFeed* flown = flight_of(filmed, number)) {
    part.feed = *flown;
    part.from_s = std::min(part.from_s, flown->path.front().t_s);
    part.until_s = std::max(flown->path.back().t_s, part.from_s);
  }
  part.from_s = std::max(0., part.from_s - kBefore_s);
  part.until_s += kAfter_s;
  part.words = words_about(one, slow_);
  return part;
}

void ClipCommand::declare(JobFiles& files,
                          const std::vector<std::string>& names) const {
  files.reads("FILM", film_);
  for (const char* name : kSessionFiles) {
    files.reads("--from", fs::path(from_) / name);
  }
  files.writes_in("--out", out_, {names.begin(), names.end()});
}

int ClipCommand::run() {
  const fs::path from(from_);
  const fs::path out(out_);
  const std::set<int> numbers(feeds_.begin(), feeds_.end());
  std::vector<std::string> names;
  for (const int number : numbers) names.push_back(clip_name(number));
  JobFiles files;
  declare(files, names);
  files.check();
  const ReportInput session = load_report_input(from);
  for (const int number : numbers) (void)feed_of(session, number, "--feeds");
  const FilmedSession filmed = filmed_session(film_, from, session);
  ClipOptions options;
  options.slow = slow_;
  options.plain = plain_;
  options.film_slow = filmed.film_slow;
  StagedFolder staged(out);
  std::string told;
  Json json{{"clips", Json::array()}};
  std::string without_sound;
  for (const int number : numbers) {
    const ClipMade made = write_clip(film_,
                                     part_of(session, filmed, number),
                                     filmed.camera,
                                     staged.path() / clip_name(number),
                                     options);
    told += fmt::format("{}: {} from {:.3f} to {:.3f} s\n",
                        (out / clip_name(number)).string(),
                        counted(made.frames, "frame"),
                        made.first_s,
                        made.last_s);
    json["clips"].push_back({{"feed", number},
                             {"file", (out / clip_name(number)).string()},
                             {"frames", made.frames},
                             {"first_s", made.first_s},
                             {"last_s", made.last_s}});
    if (!made.sound_left_out.empty()) without_sound = made.sound_left_out;
  }
  staged.commit();
  if (json_) {
    json["without_sound"] =
        without_sound.empty() ? Json(nullptr) : Json(without_sound);
    fmt::print("{}", json_text(json));
    return kExitDone;
  }
  if (quiet_) return kExitDone;
  print_words(told);
  if (!without_sound.empty()) {
    print_words("without sound: " + without_sound + "\n");
  }
  return kExitDone;
}

}  // namespace evenfeed
