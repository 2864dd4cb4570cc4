// SPDX-License-Identifier: MIT
#include "report/index_page.h"

#include "base/date_time.h"

#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {

TEST_CASE("an index has a row for each session, the newest first") {
  const TempDir folder("index-page");
  std::vector<IndexedSession> sessions(3);
  for (int i = 0; i < 3; ++i) {
    IndexedSession& one = sessions[static_cast<std::size_t>(i)];
    one.input = load_sample(folder, sample_tagged(), sample_summary());
    SessionHead& head = one.input.provenance.head;
    head.launcher = "bench-A";
    head.sample = "sheet <" + std::to_string(i) + ">";
    head.started_at = 1773500000 + 86400 * i;
    one.input.signals.clear();
    one.address = i == 1 ? "" : "session-00" + std::to_string(i) + ".html";
  }
  sessions[1].input.ready = false;
  sessions[2].input.baseline.provisional = true;
  const std::string page = index_page("bench \"A\"", sessions);
  CHECK(page.find("bench &quot;A&quot;") != std::string::npos);
  CHECK(page.find("3 sessions, 2 ready") != std::string::npos);
  const auto at = [&](const char* text) { return page.find(text); };
  CHECK(at("sheet &lt;2&gt;") < at("sheet &lt;1&gt;"));
  CHECK(at("sheet &lt;1&gt;") < at("sheet &lt;0&gt;"));
  CHECK(at("sheet &lt;0&gt;") != std::string::npos);
  CHECK(occurrences(page, "<a href=\"session-00") == 2);
  CHECK(occurrences(page, ">Ready.</td>") == 2);
  // sd of x and y; a star where it is of all feeds.
  CHECK(occurrences(page, ">30.0</td>") == 2);
  CHECK(occurrences(page, ">30.0*</td>") == 1);
  CHECK(at("A star: of all feeds") != std::string::npos);
  CHECK(at("<caption>Newest first") != std::string::npos);
  // A day is not broken into pieces, what the columns are does not widen the
  // table, and one launcher needs no column.
  CHECK(occurrences(page, "<th scope=\"row\" class=\"when\">") == 3);
  CHECK(occurrences(page, "2026-03-14 <small>14:53</small>") == 1);
  CHECK(at("caption { max-width: calc(100vw") != std::string::npos);
  CHECK(at(">launcher</th>") == std::string::npos);
  sessions[1].input.provenance.head.launcher = "bench-B";
  const std::string two = index_page("store", sessions);
  CHECK(two.find(">launcher</th>") != std::string::npos);
  CHECK(two.find("<td>bench-B</td>") != std::string::npos);
}

TEST_CASE("an index of nothing is a page") {
  const std::string page = index_page("store", {});
  CHECK(page.find("0 sessions, 0 ready") != std::string::npos);
  CHECK(page.find("A star") == std::string::npos);
}

}  // namespace evenfeed
