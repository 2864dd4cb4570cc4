// SPDX-License-Identifier: MIT
#include "cli/job_files.h"

#include "base/atomic_file.h"
#include "base/error.h"

#include <algorithm>
#include <cstdio>
#include <fstream>

#include <fmt/format.h>
#include <sys/stat.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

// A hard or a symbolic link has another name and is the same file.
bool same_file(const fs::path& a, const fs::path& b) {
  if (is_standard_stream(a) || is_standard_stream(b)) return a == b;
  struct stat at_a {
  }, at_b{};
  const bool there_a = ::stat(a.c_str(), &at_a) == 0;
  const bool there_b = ::stat(b.c_str(), &at_b) == 0;
  if (there_a != there_b) return false;
  if (there_a) return at_a.st_dev == at_b.st_dev && at_a.st_ino == at_b.st_ino;
  std::error_code none;
  return fs::weakly_canonical(a, none) == fs::weakly_canonical(b, none);
}

void require_can_be_folder(const std::string& option, const fs::path& folder) {
  std::error_code ec;
  const fs::file_type type = fs::status(folder, ec).type();
  if (type == fs::file_type::directory) return;
  if (type == fs::file_type::not_found) return;
  throw InputError(option + " " + folder.string(),
                   type == fs::file_type::none
                       ? "cannot be used (" + ec.message() + ")"
                       : "this is not a folder",
                   "Name a folder in a place that is writable");
}

void require_has_folder(const std::string& option, const fs::path& file) {
  std::error_code ec;
  const fs::path folder = file.parent_path();
  if (folder.empty() || fs::is_directory(folder, ec)) return;
  throw InputError(option + " " + file.string(),
                   "its folder is not there",
                   "Make the folder first, or name another");
}

// Now, not when all the work is done.
void require_takes_files(const std::string& option, const fs::path& file) {
  std::error_code ec;
  if (fs::exists(file, ec)) return;  // who may write it is asked of the file
  const PendingFile trial(file);
  if (std::ofstream(trial.temporary())) return;
  throw InputError(option + " " + file.string(),
                   "cannot be written",
                   "Name a place in a folder that may be written to");
}

void write_to_standard_output(std::string_view bytes) {
  const bool written =
      std::fwrite(bytes.data(), 1, bytes.size(), stdout) == bytes.size() &&
      std::fflush(stdout) == 0;
  if (!written) {
    throw InputError("standard output",
                     "cannot be written",
                     "Check that the program it goes to still runs and the "
                     "disk is not full");
  }
}

}  // namespace

void JobFiles::reads(std::string_view option, const fs::path& file) {
  if (file.empty()) return;
  if (is_standard_stream(file)) {
    if (!standard_input_.empty()) {
      throw UsageError(fmt::format(
          "{} -: standard input can be read once, and {} - reads it",
          option,
          standard_input_));
    }
    standard_input_ = option;
    return;
  }
  inputs_.push_back({std::string(option), file});
}

void JobFiles::reads(std::string_view option,
                     const std::vector<std::string>& files) {
  for (const std::string& file : files) reads(option, fs::path(file));
}

void JobFiles::writes(std::string_view option, const fs::path& file) {
  if (!file.empty()) outputs_.push_back({std::string(option), file});
}

void JobFiles::writes_in(std::string_view option,
                         const fs::path& folder,
                         const std::vector<std::string_view>& names) {
  if (folder.empty()) return;
  folders_.push_back({std::string(option), folder});
  for (const std::string_view name : names) writes(option, folder / name);
}

void JobFiles::check() const {
  for (const Role& folder : folders_) {
    require_can_be_folder(folder.option, folder.path);
  }
  for (std::size_t i = 0; i < outputs_.size(); ++i) {
    const Role& out = outputs_[i];
    for (const Role& in : inputs_) {
      if (!same_file(out.path, in.path)) continue;
      throw UsageError(fmt::format(
          "{} {}: this file is read too ({} {}) and would be destroyed. Name "
          "another file to write",
          out.option,
          out.path.string(),
          in.option,
          in.path.string()));
    }
    for (std::size_t k = 0; k < i; ++k) {
      if (!same_file(out.path, outputs_[k].path)) continue;
      throw UsageError(
          fmt::format("{} {}: {} {} is written to the same place. Name "
                      "another file",
                      out.option,
                      out.path.string(),
                      outputs_[k].option,
                      outputs_[k].path.string()));
    }
  }
  for (const Role& out : outputs_) {
    if (is_standard_stream(out.path)) continue;
    require_can_be_file(out.path);
    const bool in_own_folder =
        std::any_of(folders_.begin(), folders_.end(), [&](const Role& folder) {
          return folder.path == out.path.parent_path();
        });
    if (in_own_folder) continue;
    require_has_folder(out.option, out.path);
    require_takes_files(out.option, out.path);
  }
}

bool is_standard_stream(const fs::path& file) { return file == "-"; }

void write_output(const fs::path& file, std::string_view bytes) {
  write_outputs({{file, std::string(bytes)}});
}

void write_outputs(const std::vector<FileText>& outputs) {
  std::vector<FileText> files;
  for (const FileText& one : outputs) {
    if (!one.path.empty() && !is_standard_stream(one.path)) {
      files.push_back(one);
    }
  }
  write_files_whole(files);
  for (const FileText& one : outputs) {
    if (is_standard_stream(one.path)) write_to_standard_output(one.bytes);
  }
}

}  // namespace evenfeed
