// SPDX-License-Identifier: MIT
#include "cli/store_csv.h"

#include "base/csv.h"
#include "cli/store_words.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("names in the table of sessions are neither run nor obeyed") {
  SessionRecord session;
  session.head.launcher = "=SUM(1+1)*cmd|' /C calc'!A0";
  session.head.sample = "-2+3";
  session.head.note = "red\x1b[2J\x07 rubber\nnext line";
  session.head.ball_set = "M\xc3\xbcller, 3\"";
  const std::string text = sessions_csv({session});
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    CHECK((byte >= 32 || byte == '\n'));
  }
  CHECK(text.find("'=SUM") != std::string::npos);
  CHECK(text.find("'-2+3") != std::string::npos);
  CHECK(text.find("red\\x1b[2J\\x07 rubber\\nnext line") != std::string::npos);
  const CsvTable read = CsvTable::parse(text, "sessions.csv");
  REQUIRE(read.rows() == 1);
  CHECK(read.text(0, read.require_column("launcher")) == session.head.launcher);
  CHECK(read.text(0, read.require_column("balls")) == session.head.ball_set);
}
