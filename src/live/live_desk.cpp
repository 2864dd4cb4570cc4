// SPDX-License-Identifier: MIT
#include "live/live_desk.h"

#include "base/error.h"
#include "live/frame_log.h"

#include <future>
#include <utility>

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kBeat_s = 1;

}  // namespace

std::optional<CutOff> read_cut_off(const std::filesystem::path& folder) {
  const std::vector<std::string> lines = read_journal(folder / kJournalFile);
  if (lines.empty()) return std::nullopt;
  CutOff found;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Json line = Json::parse(lines[i], nullptr, false);
    const auto text = [&](const char* key) {
      return line.contains(key) && line[key].is_string()
                 ? line[key].get<std::string>()
                 : std::string();
    };
    if (!line.is_object()) {
      throw InputError(
          (folder / kJournalFile).string() + ":" + std::to_string(i + 1),
          "this line is no part of a journal",
          "Take another folder; 'evenfeed session' measures the film again");
    }
    const std::string kind = text("kind");
    if (kind == "begin") {
      found.begin = {text("film"),
                     text("profile"),
                     text("bench"),
                     line.value("of_this_film", false),
                     text("stream"),
                     line.value("width_px", 0),
                     line.value("height_px", 0),
                     line.value("rate_hz", 0.0),
                     text("order")};
    }
    found.ended = kind == "ended";
    found.feeds += kind == "feed";
    found.feeds -= kind == "withdrawn";
    if (kind != "log") continue;
    if (text("word") == "undo") {
      found.log.undo();
    } else if (const auto word = TrialLog::find_word(text("word"))) {
      found.log.add({*word, line.value("t_s", 0.0), text("text")});
    }
  }
  found.frames = read_journal(folder / kFrameLogFile);
  return found;
}

LiveDesk::LiveDesk(const std::filesystem::path& folder,
                   const Profile& profile,
                   TrialLog log,
                   OrderSheet order,
                   Now now)
    : profile_(profile),
      now_(std::move(now)),
      journal_(folder / kJournalFile),
      frames_(folder / kFrameLogFile),
      log_(std::move(log)),
      order_(std::move(order)) {}

LiveDesk::~LiveDesk() = default;

void LiveDesk::begin(const LiveBegin& begin) {
  Json line;
  line["kind"] = "begin";
  line["film"] = begin.film;
  line["profile"] = begin.profile;
  line["bench"] = begin.bench;
  line["of_this_film"] = begin.of_this_film;
  if (!begin.stream.empty()) {
    line["stream"] = begin.stream;
    line["width_px"] = begin.width_px;
    line["height_px"] = begin.height_px;
    line["rate_hz"] = begin.rate_hz;
  }
  if (!begin.order.empty()) line["order"] = begin.order;
  journal_.append(line.dump(-1, ' ', false, Json::error_handler_t::replace));
}

void LiveDesk::resumed(double t_s, int feeds) {
  Json line;
  line["kind"] = "resumed";
  line["t_s"] = t_s;
  line["feeds"] = feeds;
  journal_.append(line.dump());
}

void LiveDesk::open_page(const ServerOptions& options) {
  ServerWork work;
  work.state = [this] {
    const auto state = now_();
    return state_json(
        *state, log(), order_, profile_.surface, profile_.landing_zone);
  };
  work.act = [this](const std::string& wish) { return act(wish); };
  work.quiet = [this] {
    // No pictures come, and that is the news.
    const auto state = now_();
    return state->word == BenchWord::kCameraLost ||
                   state->word == BenchWord::kWriting
               ? beat_json(state->t_s, state->word)
               : "";
  };
  server_ = std::make_unique<BenchServer>(options, std::move(work));
}

std::string LiveDesk::page_address() const {
  return server_ ? server_->address() : "";
}

void LiveDesk::tell(const std::string& kind, const std::string& json) {
  if (server_) server_->tell(kind, json);
}

// On the disk, with all that it rests on, before it is told.
void LiveDesk::event(const LiveEvent& event) {
  const std::string json = event_json(event);
  if (event.kind != LiveEventKind::kBallSeen &&
      event.kind != LiveEventKind::kRenewed) {
    // Beside the journal: the disk does both in hardly more time than one.
    std::future<void> frames;
    if (event.kind == LiveEventKind::kFeed) {
      frames = std::async(std::launch::async, [this] { frames_.sync(); });
    }
    {
      const std::lock_guard lock(mutex_);
      journal_.append(json);
    }
    if (frames.valid()) frames.get();
  }
  tell(std::string(live_event_name(event.kind)), json);
}

void LiveDesk::frame(const FrameSightings& frame) {
  frames_.append_soon(frame_line(frame));
  const std::lock_guard lock(mutex_);
  t_s_ = frame.t_s;
  if (t_s_ - beat_s_ < kBeat_s) return;
  beat_s_ = t_s_;
  tell("beat", beat_json(t_s_, now_()->word));
}

void LiveDesk::end() {
  LiveEvent last;
  last.kind = LiveEventKind::kEnded;
  last.t_s = t_s_;
  last.word = BenchWord::kEnded;
  last.words = "everything is written";
  event(last);
}

std::string LiveDesk::act(const std::string& wish_json) {
  return act(read_log_wish(wish_json));
}

// What a wish comes to; why it cannot be, or empty.
std::string LiveDesk::entry_of(const LogWish& wish,
                               const BenchState& state,
                               LogEntry& entry) const {
  const auto word = TrialLog::find_word(wish.word);
  if (!word) return "allowed are sample, ball, note, exclude, step and undo";
  entry = {*word, t_s_, wish.text};
  if (*word == LogWord::kStep) {
    if (order_.empty()) return "no order sheet is followed (--order)";
    const OrderPlace place = order_place(order_, log_, state);
    const auto next = static_cast<std::size_t>(place.step) + 1;
    if (next > order_.steps().size()) return "the order is done";
    entry.text =
        next < order_.steps().size() ? order_.steps()[next].sample : "";
    return "";
  }
  const std::string why = TrialLog::why_not(*word, wish.text);
  if (!why.empty()) return why;
  if (*word == LogWord::kNote || *word == LogWord::kExclude) {
    if (state.feeds.empty()) return "there is no feed yet";
    entry.t_s = state.feeds.back().last_s;
  }
  return "";
}

std::string LiveDesk::act(const LogWish& wish) {
  const auto state = now_();
  const std::lock_guard lock(mutex_);
  const bool undo = wish.word == "undo";
  LogEntry entry;
  entry.t_s = t_s_;
  const std::string why = undo && log_.empty() ? "there is nothing to undo"
                          : undo               ? ""
                                               : entry_of(wish, *state, entry);
  if (!why.empty()) return why;
  const std::string json = log_json(wish.word, entry.t_s, entry.text);
  journal_.append(json);
  if (undo) {
    log_.undo();
  } else {
    log_.add(entry);
  }
  tell("log", json);
  return "";
}

std::string LiveDesk::order_words() const {
  if (order_.empty()) return "";
  const auto state = now_();
  const std::lock_guard lock(mutex_);
  return order_.words(order_place(order_, log_, *state));
}

TrialLog LiveDesk::log() const {
  const std::lock_guard lock(mutex_);
  return log_;
}

}  // namespace evenfeed
