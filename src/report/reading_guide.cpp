// SPDX-License-Identifier: MIT
#include "report/reading_guide.h"

#include "base/counted.h"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>

namespace evenfeed {
namespace {

bool has_chart(const ReportInput& input, std::string_view kind) {
  return std::any_of(input.charts.begin(),
                     input.charts.end(),
                     [&](const ChartSeries& one) { return one.chart == kind; });
}

std::int64_t feeds_in(const ReportInput& input, std::string_view phase) {
  return std::count_if(
      input.feeds.begin(), input.feeds.end(), [&](const JudgedFeed& one) {
        return one.phase == phase;
      });
}

std::string_view verdict_item(const ReportInput& input) {
  if (!input.judged) return "";
  if (input.too_few) {
    return R"(<li><b>review</b>: not known yet: there are too few feeds to tell
what belongs to a stable process. <b>discard</b>: not measured.</li>
)";
  }
  return R"(<li><b>keep</b>: belongs to the stable process; use it. <b>review</b>: the
process changed, or may have, since this feed was made; look before you use it.
<b>discard</b>: made during warm-up, a mis-feed, or not measured.</li>
)";
}

std::string chart_items(const ReportInput& input) {
  std::string out;
  if (has_chart(input, "t2") || has_chart(input, "mewma")) {
    out +=
        R"(<li><b>Single feeds</b> (T²) asks of each feed whether it is an odd one
out; <b>lasting changes</b> (MEWMA, EWMA) adds up small shifts over many feeds.
A chart signals late: the change began earlier, and the feeds since then are
under review. Limits widen as feeds are added up, and drop back where the chart
begins anew because the baseline was renewed with more feeds.</li>
)";
  }
  if (has_chart(input, "spread")) {
    out +=
        R"(<li><b>How far feeds scatter</b> watches their spread, not where they
land: above its line they scatter more than the baseline did.</li>
)";
  }
  if (!input.charts.empty()) {
    out +=
        input.too_few
            ? R"(<li>Centre and limits are those of the few feeds there are: they will
be others when there are enough.</li>
)"
            : R"(<li>A limit is not a wall: now and then a steady launcher crosses one by
chance. How seldom is set in the profile.</li>
)";
  }
  return out;
}

}  // namespace

std::string band_words(const ReportInput& input) {
  const std::int64_t warm_up = feeds_in(input, "warm-up");
  const std::int64_t first = feeds_in(input, "baseline");
  std::string words;
  if (warm_up > 0 && first > 0) {
    words = "The shaded bands are the warm-up and the baseline.";
  } else if (first > 0) {
    words = "The shaded band is the baseline.";
  } else if (warm_up > 0 && !input.too_few) {
    words = "The shaded band is the warm-up.";
  }
  if (first > 0 && input.baseline.n > first) {
    words += fmt::format(
        " The baseline's band is the first one, of {}; it was renewed since, "
        "and what this page calls the stable stretch or process is the last "
        "one, of {}.",
        counted(first, "feed"),
        counted(input.baseline.n, "feed"));
  }
  return words;
}

std::string reading_guide(const ReportInput& input) {
  return fmt::format(
      R"(<section><h2>How to read this page</h2>
<ul class="plain">
{}{}<li><b>Kick</b> is the horizontal speed after the bounce over that before it:
it falls with backspin and rises with topspin.</li>
<li>An uncertainty is one standard deviation of the measurement. What the
calibration leaves uncertain is common to all feeds: it moves them together and
does not make them look more scattered.</li>
</ul></section>
)",
      verdict_item(input),
      chart_items(input));
}

}  // namespace evenfeed
