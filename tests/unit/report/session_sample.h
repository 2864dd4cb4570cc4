// SPDX-License-Identifier: MIT
// A small session folder for the report's tests, written file by file.
#pragma once

#include "base/atomic_file.h"
#include "report/report_input.h"
#include "support/temp_dir.h"

#include <string>

namespace evenfeed {

inline constexpr const char* kTaggedHeader =
    "feed,t_bounce_s,x_mm,sx_mm,y_mm,sy_mm,rho_xy,speed_in_mps,"
    "s_speed_in_mps,status,note,phase,verdict,reasons,t2,t2_limit\n";

// Five feeds: kept, under review, a mis-feed with hostile text, one computed
// landing, one that could not be measured.
inline std::string sample_tagged() {
  return std::string(kTaggedHeader) +
         "1,1.50,640.0,5.0,80.0,0.4,0.1,4.71,0.03,measured,,baseline,keep,,2.1,"
         "16\n"
         "2,3.00,655.0,5.0,85.0,0.4,0.1,4.70,0.03,measured,,monitor,review,"
         "the mean moved; MEWMA 12.1 above 10.8,3.2,16\n"
         "3,4.50,400.0,5.0,240.0,0.4,0.1,4.10,0.03,measured,"
         "<script>alert(1)</script>,monitor,discard,"
         "\"T2 44.1, limit 16 \"\"<img src=x onerror=alert(2)>\"\"\",44.1,16\n"
         "4,6.00,660.0,,70.0,,,,,extrapolated,,monitor,keep,,1.0,16\n"
         "5,7.50,,,,,,,,unmeasured,hidden by an arm,monitor,discard,,,\n";
}

inline std::string sample_summary() {
  return R"({"ready": true, "ready_at_feed": 1, "stable_from_feed": 1,
"holding_back": [], "feeds": 5, "characteristics": ["x_mm", "y_mm"],
"baseline": {"n": 20, "mean": {"x_mm": 650, "y_mm": 80},
 "sd": {"x_mm": 30, "y_mm": 8}, "correlation": [[1, 0.5], [0.5, 1]]},
"signals": [{"feed": 3, "chart": "t2", "characteristic": "x_mm",
 "value": 44.1, "limit": 16, "changed_at_feed": 2, "interval": [2, 3]}],
"gauge": {"x_mm": 0.17, "y_mm": 0.05}, "launcher_sd": {"x_mm": 29.6},
"counts": {"keep": 2, "review": 1, "discard": 2},
"warnings": ["a <b>warning</b>"],
"charts": [{"chart": "individuals", "characteristic": "x_mm", "centre": 650,
 "lambda": null, "feeds": [1, 2, 3, 4, 5],
 "values": [640, 655, 400, 660, null], "lower": [560, 560, 560, 560, 560],
 "upper": [740, 740, 740, 740, 740]},
 {"chart": "t2", "characteristic": "", "centre": null, "feeds": [1, 2, 3, 4],
 "values": [2.1, 3.2, 44.1, 1.0], "lower": [null, null, null, null],
 "upper": [16, 16, 16, 16]}]})";
}

inline Surface table_tennis() {
  const std::filesystem::path file =
      std::filesystem::path(EVENFEED_ROOT) / "profiles/table-tennis.toml";
  return load_surface(TomlTable::read(file).table("surface"));
}

/// A folder with tagged.csv and, unless empty, summary.json.
inline ReportInput load_sample(const TempDir& folder,
                               const std::string& tagged,
                               const std::string& summary) {
  write_file_whole(folder / "tagged.csv", tagged);
  if (!summary.empty()) write_file_whole(folder / "summary.json", summary);
  ReportInput input = load_report_input(folder.path());
  input.surface = table_tennis();
  return input;
}

inline int occurrences(std::string_view text, std::string_view what) {
  int count = 0;
  for (std::size_t at = text.find(what); at != std::string_view::npos;
       at = text.find(what, at + what.size())) {
    ++count;
  }
  return count;
}

}  // namespace evenfeed
