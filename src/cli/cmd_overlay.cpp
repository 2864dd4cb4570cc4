// SPDX-License-Identifier: MIT
#include "cli/cmd_overlay.h"

#include "base/counted.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/filmed_session.h"
#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/wanted_pairs.h"
#include "pictures/pair_film.h"
#include "session/json_text.h"
#include "session/session_folder.h"

#include <filesystem>
#include <set>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

using Json = nlohmann::ordered_json;

std::string pair_name(const WantedPair& pair, const char* ending) {
  return fmt::format("pair-{:03}-{:03}.{}", pair.a, pair.b, ending);
}

PairForm form_of(const std::string& word) {
  if (word == "side") return PairForm::kSide;
  if (word == "stacked") return PairForm::kStacked;
  return PairForm::kGhosts;
}

// A session and its film; the same one for both samples of one film.
struct Side {
  fs::path film;
  ReportInput session;
  FilmedSession filmed;
};

// Why the trial cannot be shown by its contact is told before any film is made.
PairedTrial trial_of(const Side& side, int number, const std::string& sample) {
  PairedTrial trial;
  trial.sample = sample;
  trial.film = side.film;
  trial.film_slow = side.filmed.film_slow;
  trial.camera = side.filmed.camera;
  trial.feed = feed_of(side.session, number, "--pairs: feed").feed;
  if (const FlownFeed* flown = flight_of(side.filmed, number)) {
    trial.flown = *flown;
  }
  return trial;
}

MatchedPair pair_of(const std::array<const Side*, 2>& sides,
                    const WantedPair& feeds,
                    const std::array<std::string, 2>& names) {
  MatchedPair pair{trial_of(*sides[0], feeds.a, names[0]),
                   trial_of(*sides[1], feeds.b, names[1])};
  const std::string why = why_not_together(pair);
  if (!why.empty()) {
    throw InputError(fmt::format("--pairs {}+{}", feeds.a, feeds.b),
                     why,
                     "Two trials are shown together by their contact: take a "
                     "pair in which both returned the ball");
  }
  return pair;
}

Json json_of(const MatchedPair& pair,
             const PairFilmMade& made,
             const fs::path& film,
             const fs::path& still) {
  return {{"feeds", {pair[0].feed.number, pair[1].feed.number}},
          {"film", film.string()},
          {"still", still.string()},
          {"frames", made.frames},
          {"first_s", made.first_s},
          {"last_s", made.last_s},
          {"most_off_s", made.most_off_s},
          {"apart_px", made.apart_px},
          {"in_one_picture", made.in_one_picture},
          {"differences", difference_words(pair)}};
}

std::string words_about(const MatchedPair& pair,
                        const PairFilmMade& made,
                        const fs::path& film) {
  std::string told = fmt::format("{}: {}, the two at most {:.1f} ms apart\n",
                                 film.string(),
                                 counted(made.frames, "frame"),
                                 1000 * made.most_off_s);
  if (made.in_one_picture) {
    told = fmt::format(
        "{}: {}. The cameras stood apart (the same place is seen {:.0f} "
        "pixels elsewhere): the flight of {} is drawn into the film of {}\n",
        film.string(),
        counted(made.frames, "frame"),
        made.apart_px,
        pair[1].sample,
        pair[0].sample);
  }
  for (const std::string& line : difference_words(pair)) {
    told += "  " + line + "\n";
  }
  return told;
}

}  // namespace

void OverlayCommand::setup(Arguments& args) {
  args.add_option("FILM",
                  films_,
                  "The films the two sessions were measured from; one when "
                  "both samples are in it")
      .takes("FILE")
      .count(1, 2)
      .required();
  args.add_option("--from",
                  from_,
                  "A session folder for each film: session.json, feeds.csv, "
                  "flights.csv and bench.toml in it")
      .takes("FOLDER")
      .count(1, 2)
      .required();
  args.add_option("--matched", matched_, "The pairs.csv that 'pair' wrote")
      .takes("FILE");
  args.add_option("--pairs",
                  pairs_,
                  "Rows of --matched, as 3,7, or feeds of the first and the "
                  "second sample, as 12+21; default: the three closest pairs")
      .takes("PAIRS")
      .comma_separated();
  args.add_option("--names",
                  names_,
                  "Names of the two samples, K,M; default: those the sessions "
                  "tell")
      .takes("NAMES")
      .comma_separated();
  args.add_option("--as",
                  form_,
                  "Over each other (ghosts), beside each other (side) or one "
                  "above the other (stacked)")
      .one_of({"ghosts", "side", "stacked"})
      .show_default();
  args.add_option("--out",
                  out_,
                  "Folder for a film and a still of each pair, "
                  "pair-012-021.mp4 and .png")
      .takes("FOLDER")
      .required();
  args.add_option("--slow",
                  slow_,
                  "So many times slower than the film plays: every frame is "
                  "shown as often, none is invented")
      .within(1, 100)
      .show_default();
  args.add_json(json_, "what was made");
  args.add_quiet(quiet_);
}

void OverlayCommand::check_use() const {
  if (from_.size() != films_.size()) {
    throw UsageError(fmt::format("--from: {} for {}; give one for each",
                                 counted(std::ssize(from_), "folder"),
                                 counted(std::ssize(films_), "film")));
  }
  if (!names_.empty() && names_.size() != 2) {
    throw UsageError("--names: two names are needed, as K,M");
  }
}

std::array<std::string, 2> OverlayCommand::names(
    const std::array<std::string, 2>& told) const {
  if (!names_.empty()) return {names_[0], names_[1]};
  if (films_.size() == 1) return {"first", "second"};
  std::array<std::string, 2> names = told;
  for (std::size_t i = 0; i < 2; ++i) {
    const fs::path folder = fs::path(from_[i]).lexically_normal();
    if (!names[i].empty()) continue;
    names[i] = (folder.has_filename() ? folder : folder.parent_path())
                   .filename()
                   .string();
  }
  if (names[0] == names[1]) return {"first", "second"};
  return names;
}

void OverlayCommand::declare(const std::vector<WantedPair>& pairs) const {
  JobFiles files;
  files.reads("FILM", films_);
  for (const std::string& folder : from_) {
    for (const char* name : kSessionFiles) {
      files.reads("--from", fs::path(folder) / name);
    }
  }
  files.reads("--matched", matched_);
  std::set<std::string> made;
  for (const WantedPair& pair : pairs) {
    made.insert(pair_name(pair, "mp4"));
    made.insert(pair_name(pair, "png"));
  }
  files.writes_in("--out", out_, {made.begin(), made.end()});
  files.check();
}

int OverlayCommand::run() {
  check_use();
  const std::vector<WantedPair> wanted = wanted_pairs(matched_, pairs_);
  declare(wanted);
  std::vector<Side> sides(films_.size());
  for (std::size_t i = 0; i < sides.size(); ++i) {
    sides[i].film = films_[i];
    sides[i].session = load_report_input(from_[i]);
  }
  const std::array<const Side*, 2> both{&sides.front(), &sides.back()};
  for (const WantedPair& pair : wanted) {
    (void)feed_of(both[0]->session, pair.a, "--pairs: feed");
    (void)feed_of(both[1]->session, pair.b, "--pairs: feed");
  }
  for (std::size_t i = 0; i < sides.size(); ++i) {
    sides[i].filmed = filmed_session(films_[i], from_[i], sides[i].session);
  }
  const auto called = names({both[0]->filmed.sample, both[1]->filmed.sample});
  std::vector<MatchedPair> pairs;
  for (const WantedPair& feeds : wanted) {
    pairs.push_back(pair_of(both, feeds, called));
  }
  PairFilmOptions options;
  options.form = form_of(form_);
  options.slow = slow_;
  const fs::path out(out_);
  StagedFolder staged(out);
  std::string told;
  Json json{{"pairs", Json::array()}};
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const std::string film = pair_name(wanted[i], "mp4");
    const std::string still = pair_name(wanted[i], "png");
    const PairFilmMade made =
        write_pair_film(pairs[i], staged.path() / film, options);
    write_files_whole({{staged.path() / still, made.still_png}});
    told += words_about(pairs[i], made, out / film);
    json["pairs"].push_back(json_of(pairs[i], made, out / film, out / still));
  }
  staged.commit();
  if (json_) {
    fmt::print("{}", json_text(json));
  } else if (!quiet_) {
    print_words(told);
  }
  return kExitDone;
}

}  // namespace evenfeed
