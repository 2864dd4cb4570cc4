// SPDX-License-Identifier: MIT
// summary.json as quality writes it. Every key may be missing; a key that is
// there with the wrong kind of value is refused by name.
#include "report/summary_reader.h"

#include "base/error.h"
#include "report/report_input.h"

#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::json;

// A file of the program is four levels deep; what is freed level by level
// until the stack is full is no file of its.
constexpr int kDeepest = 100;

// 0, "not known", for anything that is not a feed's number.
int feed_number(double value) {
  return value > 0 && value < 1e9 ? static_cast<int>(value) : 0;
}

// A JSON value with the path that leads to it, for messages.
class Node {
 public:
  Node(const Json& json, std::string place)
      : json_(json), place_(std::move(place)) {}

  double number(const char* key) const {
    const Json* found = find(key);
    if (!found) return kNotKnown;
    if (!found->is_number()) refuse(key, "a number");
    return found->get<double>();
  }
  int integer(const char* key) const {
    const Json* found = find(key);
    if (!found) return 0;
    if (!found->is_number()) refuse(key, "a whole number");
    return feed_number(found->get<double>());
  }
  bool flag(const char* key) const {
    const Json* found = find(key);
    if (!found) return false;
    if (!found->is_boolean()) refuse(key, "true or false");
    return found->get<bool>();
  }
  std::string text(const char* key) const {
    const Json* found = find(key);
    if (!found) return {};
    if (!found->is_string()) refuse(key, "a text");
    return found->get<std::string>();
  }
  /// An empty object when missing.
  Node object(const char* key) const {
    static const Json kEmpty = Json::object();
    const Json* found = find(key);
    if (!found) return {kEmpty, place_of(key)};
    if (!found->is_object()) refuse(key, "an object");
    return {*found, place_of(key)};
  }
  std::vector<Node> items(const char* key) const {
    const Json* found = find(key);
    std::vector<Node> nodes;
    if (!found) return nodes;
    if (!found->is_array()) refuse(key, "a list");
    for (const Json& item : *found) nodes.emplace_back(item, place_of(key));
    return nodes;
  }
  /// Anything in the list that is not a number is "not known".
  std::vector<double> numbers(const char* key) const {
    std::vector<double> values;
    for (const Node& item : items(key)) {
      const bool known = item.json_.is_number();
      values.push_back(known ? item.json_.get<double>() : kNotKnown);
    }
    return values;
  }
  /// Anything in the list that is not a text is left out.
  std::vector<std::string> texts(const char* key) const {
    std::vector<std::string> values;
    for (const Node& item : items(key)) {
      if (item.json_.is_string()) {
        values.push_back(item.json_.get<std::string>());
      }
    }
    return values;
  }
  const Json& json() const { return json_; }
  std::string place_of(const std::string& key) const {
    return place_ + (place_.back() == ' ' ? "" : ".") + key;
  }

 private:
  const Json* find(const char* key) const {
    if (!json_.is_object()) return nullptr;
    const auto found = json_.find(key);
    return found == json_.end() || found->is_null() ? nullptr : &*found;
  }
  [[noreturn]] void refuse(const char* key, const char* wanted) const {
    throw InputError(place_of(key),
                     std::string("is not ") + wanted,
                     "Make the file anew with 'evenfeed qualify'");
  }

  const Json& json_;
  std::string place_;
};

std::map<std::string, double> numbers_by_name(const Node& node) {
  std::map<std::string, double> numbers;
  for (const auto& [name, value] : node.json().items()) {
    if (value.is_number()) numbers[name] = value.get<double>();
  }
  return numbers;
}

double named(const std::map<std::string, double>& numbers,
             const std::string& name) {
  const auto found = numbers.find(name);
  return found == numbers.end() ? kNotKnown : found->second;
}

// `correlation` is a matrix in the order of `names`.
ReportBaseline read_baseline(const Node& node,
                             const std::vector<std::string>& names) {
  ReportBaseline baseline;
  baseline.n = node.integer("n");
  baseline.provisional = node.flag("provisional");
  baseline.mean = numbers_by_name(node.object("mean"));
  baseline.sd = numbers_by_name(node.object("sd"));
  const std::vector<Node> rows = node.items("correlation");
  for (std::size_t r = 0; r < rows.size() && r < names.size(); ++r) {
    const Json& row = rows[r].json();
    for (std::size_t c = 0; c < row.size() && c < names.size(); ++c) {
      if (row.is_array() && row[c].is_number()) {
        baseline.correlation[{names[r], names[c]}] = row[c].get<double>();
      }
    }
  }
  return baseline;
}

Signal read_signal(const Node& node) {
  Signal signal;
  signal.feed = node.integer("feed");
  signal.chart = node.text("chart");
  signal.characteristic = node.text("characteristic");
  signal.value = node.number("value");
  signal.limit = node.number("limit");
  signal.changed_at_feed = node.integer("changed_at_feed");
  signal.misfeed = node.flag("misfeed");
  const std::vector<double> interval = node.numbers("interval");
  if (interval.size() == 2) {
    signal.interval_first = feed_number(interval[0]);
    signal.interval_last = feed_number(interval[1]);
  }
  return signal;
}

Evenness read_evenness(const Node& node) {
  Evenness one;
  one.characteristic = node.text("characteristic");
  one.sd = node.number("sd");
  one.allowed = node.number("allowed");
  const std::vector<double> interval = node.numbers("interval");
  if (interval.size() == 2) {
    one.low = interval[0];
    one.high = interval[1];
  }
  return one;
}

// The ratio stands in the file; with the baseline's spread it gives the rest.
std::vector<ReportGauge> read_gauges(const Node& root,
                                     const ReportBaseline& baseline) {
  std::vector<ReportGauge> gauges;
  const auto launcher = numbers_by_name(root.object("launcher_sd"));
  const auto ratios = numbers_by_name(root.object("gauge"));
  for (const std::string& name : root.texts("characteristics")) {
    Gauge gauge;
    gauge.observed_sd = named(baseline.sd, name);
    gauge.launcher_sd = named(launcher, name);
    gauge.ratio = named(ratios, name);
    gauge.measurement_sd = gauge.ratio * gauge.observed_sd;
    gauges.push_back({name, gauge});
  }
  return gauges;
}

ChartSeries read_chart(const Node& node) {
  ChartSeries chart;
  chart.chart = node.text("chart");
  chart.characteristic = node.text("characteristic");
  chart.centre = node.number("centre");
  chart.lambda = node.number("lambda");
  for (const double feed : node.numbers("feeds")) {
    chart.feeds.push_back(feed_number(feed));
  }
  chart.values = node.numbers("values");
  chart.lower = node.numbers("lower");
  chart.upper = node.numbers("upper");
  // A short list means "not known from there on".
  for (auto* list : {&chart.values, &chart.lower, &chart.upper}) {
    list->resize(chart.feeds.size(), kNotKnown);
  }
  return chart;
}

}  // namespace

void read_summary(const std::string& json_text,
                  const std::string& name,
                  ReportInput& input) {
  Json json;
  bool too_deep = false;
  try {
    json = Json::parse(json_text, [&](int depth, Json::parse_event_t, Json&) {
      too_deep = too_deep || depth > kDeepest;
      return !too_deep;
    });
  } catch (const Json::exception& error) {  // 1e3000 is no parse error
    throw InputError(name,
                     std::string("is not JSON: ") + error.what(),
                     "Make it anew with 'evenfeed qualify'");
  }
  if (too_deep || !json.is_object()) {
    throw InputError(name,
                     "is not JSON as evenfeed writes it",
                     "Make it anew with 'evenfeed qualify'");
  }
  const Node root(json, name + ": ");
  input.ready = root.flag("ready");
  input.too_few = root.flag("too_few");
  for (const Node& item : root.items("evenness")) {
    input.evenness.push_back(read_evenness(item));
  }
  input.ready_at_feed = root.integer("ready_at_feed");
  input.stable_from_feed = root.integer("stable_from_feed");
  input.holding_back = root.texts("holding_back");
  input.baseline =
      read_baseline(root.object("baseline"), root.texts("characteristics"));
  for (const Node& item : root.items("signals")) {
    input.signals.push_back(read_signal(item));
  }
  input.gauges = read_gauges(root, input.baseline);
  for (const Node& item : root.items("charts")) {
    input.charts.push_back(read_chart(item));
  }
  input.warnings = root.texts("warnings");
  input.sound = root.object("sound").text("words");
}

}  // namespace evenfeed
