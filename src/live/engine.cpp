// SPDX-License-Identifier: MIT
#include "live/engine.h"

#include "base/units.h"
#include "quality/words.h"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The finder has explained a track so long after its end, at the latest.
constexpr double kExplained_s = 6;
// Behind no more: less than what makes it so, or the word would flicker.
constexpr double kCaughtUp_s = 1;

QuickLookOptions quick_options(const MeasureOptions& measure) {
  QuickLookOptions options;
  options.tracks = measure.tracks;
  options.finder = measure.finder;
  return options;
}

std::string feed_words(const LiveFeed& one) {
  const Feed& feed = one.feed;
  if (feed.status == FeedStatus::kUnmeasured) {
    return fmt::format("feed {} could not be measured: {}",
                       feed.number,
                       feed.note.empty() ? "no reason known" : feed.note);
  }
  const auto value = [&](Characteristic id) {
    return characteristic_value(std::string(info(id).column), feed[id].value);
  };
  return fmt::format("feed {}: {} along, {} across, {}",
                     feed.number,
                     value(Characteristic::kX),
                     value(Characteristic::kY),
                     value(Characteristic::kSpeedIn));
}

}  // namespace

void EngineOptions::check() const {
  measure.check();
  judging.check();
}

LiveEngine::LiveEngine(const Bench& bench,
                       const Profile& profile,
                       EngineOptions options,
                       Listener listener)
    : bench_(bench),
      profile_(profile),
      options_(std::move(options)),
      listener_(std::move(listener)),
      frames_(bench_, profile_, options_.measure),
      quick_(bench_.camera,
             profile_.surface,
             profile_.flight,
             quick_options(options_.measure)),
      renewal_(options_.judging, options_.renew_apart),
      judge_(options_.judging),
      told_(frames_.feeds().nothing_told()) {
  options_.check();
  publish();
}

LiveEngine::~LiveEngine() = default;

void LiveEngine::say(LiveEventKind kind, std::string words, LiveFeed feed) {
  LiveEvent event;
  event.kind = kind;
  event.t_s = t_s_;
  event.words = std::move(words);
  event.word = word_;
  const auto at = static_cast<std::size_t>(feed.feed.number) - 1;
  const Qualification& judged = judge_.result();
  if (kind == LiveEventKind::kFeed && at < judged.tags.size()) {
    event.verdict = verdict_name(judged.tags[at].verdict);
    event.reasons = judged.tags[at].reasons;
  }
  event.feed = std::move(feed);
  if (listener_) listener_(event);
}

void LiveEngine::keep_state() {
  auto now = std::make_shared<BenchState>();
  now->word = word_;
  now->t_s = t_s_;
  now->behind_s = behind_s_;
  now->frames = frame_count_;
  now->feeds = feeds_;
  now->judged = judge_.result();
  now->renewals = renewals_;
  now->warnings = warnings_;
  const std::lock_guard lock(mutex_);
  state_ = std::move(now);
}

BenchWord LiveEngine::word_now() const {
  if (writing_) return BenchWord::kWriting;
  if (!camera_there_) return BenchWord::kCameraLost;
  if (behind_) return BenchWord::kBehind;
  return word_of(judge_.result(), static_cast<int>(feeds_.size()));
}

void LiveEngine::publish() {
  const BenchWord before = word_;
  word_ = word_now();
  keep_state();
  if (word_ != before) say(LiveEventKind::kState, state_line(*state()));
}

std::shared_ptr<const BenchState> LiveEngine::state() const {
  const std::lock_guard lock(mutex_);
  return state_;
}

LiveFeed* LiveEngine::told_at(double first_s, double last_s) {
  for (auto one = feeds_.rbegin(); one != feeds_.rend(); ++one) {
    if (one->first_s <= last_s && first_s <= one->last_s) return &*one;
  }
  return nullptr;
}

void LiveEngine::judge_all() {
  std::vector<Feed> rows;
  int number = 0;
  for (LiveFeed& one : feeds_) {
    one.feed.number = ++number;
    rows.push_back(one.feed);
  }
  judge_.restart(rows);
}

void LiveEngine::tell(const FoundFeed& found, bool settled) {
  LiveFeed one;
  one.feed = frames_.feeds().measure_now(found, told_);
  widen(one.feed, widening_);
  one.first_s = found.sightings.front().t_s;
  one.last_s = found.sightings.back().t_s;
  one.settled = settled;
  // What cannot be measured at a glance may be, with its whole track.
  if (!settled && one.feed.status == FeedStatus::kUnmeasured) return;
  const auto later =
      std::find_if(feeds_.begin(), feeds_.end(), [&](const LiveFeed& other) {
        return other.first_s > one.first_s;
      });
  const auto at = later - feeds_.begin();
  const bool last = later == feeds_.end();
  one.feed.number = static_cast<int>(at) + 1;
  feeds_.insert(later, one);
  if (last) {
    judge_.add(one.feed);
  } else {
    judge_all();
  }
  dirty_ = true;
  // Whoever is told of it and looks finds it there.
  keep_state();
  say(LiveEventKind::kFeed, feed_words(one), one);
  publish();
}

void LiveEngine::settle_found() {
  const std::vector<FoundFeed>& all = frames_.feeds().found();
  if (const int begun = frames_.feeds().begun_again(); begun != begun_again_) {
    begun_again_ = begun;
    found_ = 0;
  }
  for (; found_ < all.size(); ++found_) {
    const FoundFeed& found = all[found_];
    LiveFeed* told =
        told_at(found.sightings.front().t_s, found.sightings.back().t_s);
    dirty_ = true;
    if (told == nullptr) {
      tell(found, true);
    } else {
      told->settled = true;
    }
  }
}

void LiveEngine::withdraw(double settled_s) {
  const auto none = [&](const LiveFeed& one) {
    return !one.settled && one.last_s < settled_s - kExplained_s;
  };
  std::vector<LiveFeed> gone;
  std::copy_if(feeds_.begin(), feeds_.end(), std::back_inserter(gone), none);
  if (gone.empty()) return;
  std::erase_if(feeds_, none);
  judge_all();
  for (LiveFeed& one : gone) {
    say(LiveEventKind::kWithdrawn,
        fmt::format("what was told as feed {} was none", one.feed.number),
        one);
  }
  publish();
}

// The renewed ones, and those that came since.
void LiveEngine::take_over(Renewed renewed) {
  if (!renewed.failed.empty()) {
    warnings_ = {"the feeds could not be measured together: " + renewed.failed};
    publish();
    return;
  }
  std::vector<LiveFeed> since;
  for (LiveFeed& one : feeds_) {
    if (one.first_s > renewed.until_s) since.push_back(std::move(one));
  }
  feeds_ = std::move(renewed.feeds);
  told_ = std::move(renewed.told);
  widening_ = renewed.widening;
  judge_ = std::move(*renewed.judge);
  warnings_ = std::move(renewed.warnings);
  ++renewals_;
  for (LiveFeed& one : since) {
    one.feed.number = static_cast<int>(feeds_.size()) + 1;
    judge_.add(one.feed);
    feeds_.push_back(std::move(one));
  }
  publish();
  say(LiveEventKind::kRenewed, "all feeds measured together again");
}

void LiveEngine::renew_if_due() {
  if (auto renewed = renewal_.take()) take_over(std::move(*renewed));
  if (!dirty_ || frames_.feeds().found().empty() || !renewal_.may_begin()) {
    return;
  }
  dirty_ = false;
  renewal_.begin(frames_.feeds());
}

void LiveEngine::tell_moves() {
  const std::vector<CameraStance>& stances = frames_.steady().stances();
  for (; stances_ < stances.size(); ++stances_) {
    const CameraStance& one = stances[stances_];
    if (one.from_s <= 0 || one.moved_m < kKnock_m) continue;
    say(LiveEventKind::kCameraMoved,
        fmt::format("the camera was moved by {:.0f} mm (at the table): its new "
                    "place is allowed for",
                    mm_from_m(one.moved_m)));
  }
}

// What is judged now was seen long ago when pictures wait: nobody is told that
// the launcher is ready by that.
void LiveEngine::look_at_age(double behind_s) {
  behind_s_ = behind_s;
  if ((behind_s > kOld_s) == behind_) return;
  if (behind_ && behind_s > kCaughtUp_s) return;
  behind_ = !behind_;
  publish();
}

void LiveEngine::add(FrameSightings frame, double behind_s) {
  const std::lock_guard turn(turn_);
  t_s_ = frame.t_s;
  ++frame_count_;
  look_at_age(behind_s);
  const std::vector<FoundFeed> ended =
      quick_.add_frame(frame.t_s, frames_.steady().at_once(frame.sightings));
  if (quick_.take_ball_seen()) say(LiveEventKind::kBallSeen, "");
  for (const FoundFeed& found : ended) {
    if (told_at(found.sightings.front().t_s, found.sightings.back().t_s) ==
        nullptr) {
      tell(found, false);
    }
  }
  frames_.add(std::move(frame));
  settle_found();
  withdraw(frames_.settled_s());
  tell_moves();
  renew_if_due();
}

void LiveEngine::tell_camera(bool there, double t_s, const std::string& words) {
  const std::lock_guard turn(turn_);
  if (there == camera_there_) return;
  camera_there_ = there;
  t_s_ = std::max(t_s_, t_s);
  say(there ? LiveEventKind::kCameraBack : LiveEventKind::kCameraLost, words);
  publish();
}

void LiveEngine::tell_trouble(LiveEventKind kind,
                              double t_s,
                              const std::string& words) {
  const std::lock_guard turn(turn_);
  t_s_ = std::max(t_s_, t_s);
  say(kind, words);
}

Measurement LiveEngine::finish(WatchNews last,
                               const CameraWatch& watch,
                               double slow) {
  {
    const std::lock_guard turn(turn_);
    writing_ = true;
    publish();
  }
  frames_.end(std::move(last));
  return frames_.finish(watch, slow);
}

}  // namespace evenfeed
