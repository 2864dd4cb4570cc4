// SPDX-License-Identifier: MIT
#include "store/session_rows.h"

#include "base/check.h"
#include "base/error.h"
#include "session/feeds_file.h"

#include <algorithm>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The id of the row with that name, which is added when it is not there.
std::int64_t id_of(Database& database,
                   const std::string& table,
                   const std::string& name) {
  Statement find(database,
                 fmt::format("SELECT id FROM {} WHERE name = ?1", table));
  if (find.bind(1, name).step()) return find.integer(0);
  Statement add(database,
                fmt::format("INSERT INTO {}(name) VALUES(?1)", table));
  add.bind(1, name).run();
  return database.last_id();
}

std::int64_t profile_id_of(Database& database, const SessionRecord& record) {
  Statement find(database,
                 "SELECT id FROM profile WHERE name = ?1 AND content = ?2");
  find.bind(1, record.head.profile_name).bind(2, record.profile_text);
  if (find.step()) return find.integer(0);
  Statement add(database, "INSERT INTO profile(name, content) VALUES(?1, ?2)");
  add.bind(1, record.head.profile_name).bind(2, record.profile_text).run();
  return database.last_id();
}

std::int64_t count(const SessionRecord& record, std::string_view verdict) {
  return std::count_if(
      record.feeds.begin(), record.feeds.end(), [&](const TaggedFeed& one) {
        return one.verdict == verdict;
      });
}

std::string feed_columns() {
  std::string names = "t_launch_s, t_bounce_s, st_bounce_s";
  for (const CharacteristicInfo& one : characteristics()) {
    names += fmt::format(", {}, {}", one.column, one.sigma_column);
  }
  for (const ReturnValueInfo& one : return_values()) {
    names += fmt::format(", {}, {}", one.column, one.sigma_column);
  }
  return names +
         ", rho_xy, sightings, rms_px, timing, status, note, phase, verdict, "
         "reasons";
}

void insert_feeds(Database& database,
                  std::int64_t session,
                  const std::vector<TaggedFeed>& feeds) {
  constexpr int kColumns =
      3 + 2 * kCharacteristicCount + 2 * kReturnValueCount + 9;
  std::string marks = "?1, ?2";
  for (int i = 0; i < kColumns; ++i) marks += fmt::format(", ?{}", i + 3);
  Statement row(database,
                fmt::format("INSERT INTO feed(session_id, feed, {}) VALUES({})",
                            feed_columns(),
                            marks));
  for (const TaggedFeed& one : feeds) {
    const Feed& feed = one.feed;
    row.add(session).add(std::int64_t{feed.number});
    row.add(feed.t_launch_s).add(feed.t_bounce_s).add(feed.st_bounce_s);
    for (const Measured& measured : feed.values) {
      row.add(measured.value).add(measured.sigma);
    }
    for (const Measured& measured : feed.returned) {
      row.add(measured.value).add(measured.sigma);
    }
    row.add(feed.rho_xy).add(std::int64_t{feed.sightings}).add(feed.rms_px);
    row.add_or_null(feed.timing).add(status_name(feed.status));
    row.add_or_null(feed.note).add_or_null(one.phase);
    row.add_or_null(one.verdict).add_or_null(one.reasons);
    row.run();
  }
}

void insert_properties(Database& database,
                       std::string_view sql,
                       std::int64_t owner,
                       const std::vector<Property>& properties) {
  Statement row(database, sql);
  for (const Property& one : properties) {
    row.bind(1, owner).bind(2, one.key).bind(3, one.value).run();
  }
}

constexpr std::string_view kHeadQuery =
    "SELECT session.id, launcher.name, sample.name, ball_set.name, started_at, "
    "filed_at, source_path, source_bytes, source_sha256, profile.name, ready, "
    "ready_at_feed, stable_from_feed, feeds, keep, review, discard, "
    "session.note, program_version, dated_by FROM session JOIN launcher ON "
    "launcher.id = launcher_id "
    "JOIN sample ON sample.id = sample_id "
    "JOIN profile ON profile.id = profile_id "
    "LEFT JOIN ball_set ON ball_set.id = ball_set_id ";

std::string head_query(std::string_view which) {
  return fmt::format("{}{}", kHeadQuery, which);
}

constexpr std::string_view kSettingQuery =
    "SELECT key, value FROM setting WHERE session_id = ?1 ORDER BY key";

SessionHead head_of(const Statement& row) {
  SessionHead head;
  head.id = static_cast<int>(row.integer(0));
  head.launcher = row.text(1);
  head.sample = row.text(2);
  head.ball_set = row.text(3);
  head.started_at = row.integer(4);
  head.filed_at = row.integer(5);
  head.source = {row.text(6), row.integer(7), row.text(8)};
  head.profile_name = row.text(9);
  head.ready = row.integer(10) != 0;
  head.ready_at_feed = row.optional_integer(11);
  head.stable_from_feed = row.optional_integer(12);
  head.feeds = static_cast<int>(row.integer(13));
  head.keep = static_cast<int>(row.integer(14));
  head.review = static_cast<int>(row.integer(15));
  head.discard = static_cast<int>(row.integer(16));
  head.note = row.text(17);
  head.program_version = row.text(18);
  head.dated_by = row.text(19);
  return head;
}

std::vector<Property> properties_of(Database& database,
                                    std::string_view sql,
                                    std::int64_t owner) {
  Statement row(database, sql);
  row.bind(1, owner);
  std::vector<Property> properties;
  while (row.step()) properties.push_back({row.text(0), row.text(1)});
  return properties;
}

std::vector<TaggedFeed> feeds_of(Database& database, int session) {
  Statement row(database,
                fmt::format("SELECT feed, {} FROM feed WHERE session_id = ?1 "
                            "ORDER BY feed",
                            feed_columns()));
  row.bind(1, std::int64_t{session});
  std::vector<TaggedFeed> feeds;
  while (row.step()) {
    TaggedFeed one;
    Feed& feed = one.feed;
    int at = 0;
    feed.number = static_cast<int>(row.integer(at++));
    feed.t_launch_s = row.number(at++);
    feed.t_bounce_s = row.number(at++);
    feed.st_bounce_s = row.number(at++);
    for (Measured& measured : feed.values) {
      measured.value = row.number(at++);
      measured.sigma = row.number(at++);
    }
    for (Measured& measured : feed.returned) {
      measured.value = row.number(at++);
      measured.sigma = row.number(at++);
    }
    feed.rho_xy = row.number(at++);
    feed.sightings = static_cast<int>(row.integer(at++));
    feed.rms_px = row.number(at++);
    feed.timing = row.text(at++);
    feed.status = find_status(row.text(at++)).value_or(FeedStatus::kUnmeasured);
    feed.note = row.text(at++);
    one.phase = row.text(at++);
    one.verdict = row.text(at++);
    one.reasons = row.text(at++);
    feeds.push_back(std::move(one));
  }
  return feeds;
}

}  // namespace

int insert_session(Database& database,
                   const SessionRecord& record,
                   std::optional<int> in_place_of) {
  const SessionHead& head = record.head;
  require(!head.launcher.empty() && !head.sample.empty(),
          "a session without a launcher or a sample is filed");
  if (in_place_of) {
    Statement remove(database, "DELETE FROM session WHERE id = ?1");
    remove.bind(1, std::int64_t{*in_place_of}).run();
  }
  Statement row(database,
                "INSERT INTO session VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, "
                "?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, "
                "?21, ?22, ?23)");
  const std::int64_t launcher = id_of(database, "launcher", head.launcher);
  const std::int64_t sample = id_of(database, "sample", head.sample);
  row.add(in_place_of).add(launcher).add(sample);
  if (head.ball_set.empty()) {
    row.add(std::optional<int>());
  } else {
    row.add(id_of(database, "ball_set", head.ball_set));
  }
  row.add(profile_id_of(database, record));
  row.add(head.started_at).add(head.filed_at);
  row.add(head.source.path).add(head.source.bytes).add(head.source.sha256);
  row.add(std::int64_t{head.ready});
  row.add(head.ready_at_feed).add(head.stable_from_feed);
  row.add(static_cast<std::int64_t>(record.feeds.size()));
  row.add(count(record, "keep")).add(count(record, "review"));
  row.add(count(record, "discard"));
  row.add_or_null(head.note).add_or_null(record.bench_text);
  row.add_or_null(record.baseline_text).add_or_null(record.summary_text);
  row.add_or_null(head.program_version).add_or_null(head.dated_by);
  row.run();
  const std::int64_t id = database.last_id();
  insert_feeds(database, id, record.feeds);
  insert_properties(
      database, "INSERT INTO setting VALUES(?1, ?2, ?3)", id, record.settings);
  insert_properties(database,
                    "INSERT INTO sample_property VALUES(?1, ?2, ?3) "
                    "ON CONFLICT DO UPDATE SET value = excluded.value",
                    sample,
                    record.sample_properties);
  return static_cast<int>(id);
}

int insert_service(Database& database, const ServiceEvent& event) {
  const std::int64_t launcher = id_of(database, "launcher", event.launcher);
  Statement row(database,
                "INSERT INTO service(launcher_id, at, kind, wheel_id, "
                "ball_set_id, note, unfilmed_feeds) "
                "VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7)");
  row.bind(1, launcher).bind(2, event.at);
  row.bind(3, service_kind_name(event.kind)).bind_null(4).bind_null(5);
  if (event.kind == ServiceKind::kWheelReplaced) {
    Statement wheel(database,
                    "INSERT INTO wheel(launcher_id, name, fitted_at) "
                    "VALUES(?1, ?2, ?3)");
    wheel.bind(1, launcher).bind(2, event.item).bind(3, event.at).run();
    row.bind(4, database.last_id());
  } else if (event.kind == ServiceKind::kNewBalls && !event.item.empty()) {
    row.bind(5, id_of(database, "ball_set", event.item));
  }
  row.bind_or_null(6, event.note);
  row.bind(7, std::int64_t{event.unfilmed_feeds});
  row.run();
  return static_cast<int>(database.last_id());
}

std::optional<SessionHead> find_session_head(Database& database,
                                             const std::string& sha256) {
  Statement row(database, head_query("WHERE source_sha256 = ?1"));
  if (!row.bind(1, sha256).step()) return std::nullopt;
  return head_of(row);
}

std::vector<SessionHead> session_heads(Database& database,
                                       const std::string& launcher) {
  Statement row(database,
                head_query("WHERE ?1 IN ('', launcher.name) "
                           "ORDER BY started_at, session.id"));
  row.bind(1, launcher);
  std::vector<SessionHead> heads;
  while (row.step()) heads.push_back(head_of(row));
  return heads;
}

SessionRecord read_session(Database& database, int id) {
  Statement row(database, head_query("WHERE session.id = ?1"));
  if (!row.bind(1, std::int64_t{id}).step()) {
    throw InputError(database.path().string(),
                     fmt::format("there is no session {}", id),
                     "'evenfeed store list' shows those there are");
  }
  SessionRecord record;
  record.head = head_of(row);
  Statement texts(database,
                  "SELECT content, bench, baseline, summary, sample_id "
                  "FROM session JOIN profile ON profile.id = profile_id "
                  "WHERE session.id = ?1");
  texts.bind(1, std::int64_t{id}).step();
  record.profile_text = texts.text(0);
  record.bench_text = texts.text(1);
  record.baseline_text = texts.text(2);
  record.summary_text = texts.text(3);
  record.settings = properties_of(database, kSettingQuery, id);
  record.sample_properties = properties_of(
      database,
      "SELECT key, value FROM sample_property WHERE sample_id = ?1 "
      "ORDER BY key",
      texts.integer(4));
  record.feeds = feeds_of(database, id);
  return record;
}

void read_series(Database& database,
                 const std::vector<SessionHead>& heads,
                 const std::vector<Characteristic>& characteristics,
                 const std::function<void(const SessionSeries&)>& visit) {
  std::string columns;
  for (const Characteristic id : characteristics) {
    columns += fmt::format(", {}", info(id).column);
  }
  Statement row(database,
                fmt::format("SELECT feed, t_launch_s, verdict{} FROM feed "
                            "WHERE session_id = ?1 ORDER BY feed",
                            columns));
  Statement bench(database, "SELECT bench FROM session WHERE id = ?1");
  SessionSeries series;
  for (const SessionHead& head : heads) {
    series.head = head;
    bench.bind(1, std::int64_t{head.id}).step();
    series.bench = bench.text(0);
    bench.reset();
    series.settings = properties_of(database, kSettingQuery, head.id);
    series.feeds.clear();
    series.t_launch_s.clear();
    series.discard.clear();
    series.values.assign(characteristics.size(), {});
    row.bind(1, std::int64_t{head.id});
    while (row.step()) {
      series.feeds.push_back(static_cast<int>(row.integer(0)));
      series.t_launch_s.push_back(row.number(1));
      series.discard.push_back(row.equals(2, "discard"));
      for (std::size_t c = 0; c < characteristics.size(); ++c) {
        series.values[c].push_back(row.number(static_cast<int>(c) + 3));
      }
    }
    row.reset();
    visit(series);
  }
}

}  // namespace evenfeed
