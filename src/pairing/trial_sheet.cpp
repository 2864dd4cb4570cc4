// SPDX-License-Identifier: MIT
#include "pairing/trial_sheet.h"

#include "base/error.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// order by feed number
std::map<double, double> orders_of(const CsvTable& sheet,
                                   const std::string& sample) {
  const std::size_t order = sheet.require_column("order");
  const std::size_t name = sheet.require_column("sample");
  const auto feed = sheet.column("feed");
  std::map<double, double> orders;
  for (std::size_t r = 0; r < sheet.rows(); ++r) {
    if (sheet.text(r, name) != sample) continue;
    const double place = sheet.require_number(r, order);
    const double number = feed ? sheet.number(r, *feed).value_or(place) : place;
    if (!orders.emplace(number, place).second) {
      throw InputError(
          sheet.place(r, feed.value_or(order)),
          fmt::format("feed {} of {} stands twice", number, sample),
          "Give each feed one row");
    }
  }
  return orders;
}

}  // namespace

std::vector<std::string> samples_in_order(const CsvTable& sheet) {
  const std::size_t name = sheet.require_column("sample");
  std::vector<std::string> names;
  for (std::size_t r = 0; r < sheet.rows(); ++r) {
    const std::string& one = sheet.text(r, name);
    if (one.empty()) continue;
    if (std::find(names.begin(), names.end(), one) == names.end()) {
      names.push_back(one);
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

CsvTable feeds_of_sample(const CsvTable& feeds,
                         const CsvTable& sheet,
                         const std::string& sample) {
  const std::map<double, double> orders = orders_of(sheet, sample);
  const std::size_t number = feeds.require_column("feed");
  const auto had = feeds.column("order");
  std::vector<std::string> header = feeds.header();
  if (had) header[*had] = "order_in_file";
  header.emplace_back("order");
  CsvWriter out(header);
  int rows = 0;
  for (std::size_t r = 0; r < feeds.rows(); ++r) {
    const auto found = orders.find(feeds.require_number(r, number));
    if (found == orders.end()) continue;
    std::vector<std::string> row = feeds.row(r);
    row.push_back(csv_number(found->second, 0));
    out.add_row(row);
    ++rows;
  }
  if (rows == 0) {
    throw InputError(
        sheet.name(),
        fmt::format("no feed of '{}' is in {}", sample, feeds.name()),
        "Check the columns sample and feed against the feeds "
        "file");
  }
  return CsvTable::parse(out.text(), feeds.name() + " (" + sample + ")");
}

}  // namespace evenfeed
