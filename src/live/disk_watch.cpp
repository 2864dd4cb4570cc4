// SPDX-License-Identifier: MIT
#include "live/disk_watch.h"

#include "base/check.h"

#include <system_error>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A rate is no rate before.
constexpr double kRate_s = 20;
constexpr double kGiga = 1e9;

}  // namespace

void DiskOptions::check() const {
  require_not_negative(every_s, "every_s");
  require_not_negative(low_s, "low_s");
}

DiskWatch::DiskWatch(Free free_bytes, const DiskOptions& options)
    : free_(std::move(free_bytes)), options_(options) {
  options_.check();
}

std::string DiskWatch::look(double now_s) {
  if (first_s_ && now_s - looked_s_ < options_.every_s) return "";
  looked_s_ = now_s;
  const std::optional<std::uint64_t> left = free_();
  if (!left) return "";
  if (!first_s_) {
    first_s_ = now_s;
    first_bytes_ = *left;
  }
  const double free = static_cast<double>(*left);
  if (room_ && *left < options_.kept_bytes) {
    room_ = false;
    return fmt::format(
        "the disk is full but for {:.2f} GB, which the session's end needs: "
        "the film is not written any further",
        free / kGiga);
  }
  const double run_s = now_s - *first_s_;
  const double used = static_cast<double>(first_bytes_) - free;
  const double left_s = run_s > kRate_s && used > 0 ? free / used * run_s : 1e9;
  const bool low = *left < options_.low_bytes || left_s < options_.low_s;
  if (!low || low_told_) return "";
  low_told_ = true;
  return left_s < 1e8
             ? fmt::format(
                   "the disk is nearly full: {:.1f} GB, which lasts "
                   "{:.0f} minutes",
                   free / kGiga,
                   left_s / 60)
             : fmt::format("the disk is nearly full: {:.1f} GB", free / kGiga);
}

DiskWatch::Free free_on_disk_of(const std::filesystem::path& folder) {
  return [folder]() -> std::optional<std::uint64_t> {
    std::error_code error;
    const std::filesystem::space_info space =
        std::filesystem::space(folder, error);
    if (error) return std::nullopt;
    return space.available;
  };
}

}  // namespace evenfeed
