// SPDX-License-Identifier: MIT
#include "base/foreign_bytes.h"

#include "base/error.h"
#include "base/printable.h"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace evenfeed {
namespace {

using namespace std::string_view_literals;

// How files of common formats begin, as those formats' specifications have it.
struct Signature {
  std::size_t at;
  std::string_view bytes;
  const char* what;
};

constexpr std::array<Signature, 9> kSignatures{{
    {0, "PK\x03\x04"sv, "a spreadsheet or another archive (ZIP)"},
    {0, "\xd0\xcf\x11\xe0"sv, "a spreadsheet of an older kind (.xls)"},
    {0, "%PDF-"sv, "a PDF"},
    {4, "ftyp"sv, "a film (MP4 or MOV)"},
    {0, "\x1a\x45\xdf\xa3"sv, "a film (Matroska or WebM)"},
    {0, "RIFF"sv, "a film or a sound file (RIFF)"},
    {0, "\x89PNG"sv, "a picture (PNG)"},
    {0, "\xff\xd8\xff"sv, "a picture (JPEG)"},
    {0, "SQLite format 3"sv, "a store (SQLite)"},
}};

std::string_view kind_of(std::string_view bytes) {
  for (const Signature& one : kSignatures) {
    if (bytes.size() > one.at &&
        bytes.substr(one.at, one.bytes.size()) == one.bytes) {
      return one.what;
    }
  }
  return {};
}

// By its byte order mark, or ASCII with a zero beside each of its letters.
bool is_utf16(std::string_view bytes) {
  if (bytes.starts_with("\xff\xfe"sv) || bytes.starts_with("\xfe\xff"sv)) {
    return true;
  }
  const std::string_view start = bytes.substr(0, 16);
  const auto zeros = std::count(start.begin(), start.end(), '\0');
  return start.size() >= 4 &&
         2 * zeros == static_cast<std::ptrdiff_t>(start.size());
}

std::string line_of(std::string_view bytes,
                    std::size_t at,
                    const std::string& name) {
  const std::string_view before = bytes.substr(0, at);
  return fmt::format(
      "{}:{}", name, 1 + std::count(before.begin(), before.end(), '\n'));
}

}  // namespace

void require_utf8_text(std::string_view bytes,
                       const std::string& name,
                       const std::string& wanted) {
  const std::string mend =
      fmt::format("Save it as {} with the encoding UTF-8", wanted);
  if (const std::string_view kind = kind_of(bytes); !kind.empty()) {
    throw InputError(name,
                     fmt::format("this is {}, not {}", kind, wanted),
                     "Name another file, or save it as " + wanted);
  }
  if (is_utf16(bytes)) {
    throw InputError(name, "the text is in UTF-16", mend);
  }
  if (const auto at = bytes.find('\0'); at != std::string_view::npos) {
    throw InputError(line_of(bytes, at, name),
                     "this is not text (it holds a zero byte)",
                     mend);
  }
  if (const auto at = first_not_utf8(bytes)) {
    throw InputError(line_of(bytes, *at, name),
                     fmt::format("this is not text in UTF-8 (byte \\x{:02x})",
                                 static_cast<unsigned>(
                                     static_cast<unsigned char>(bytes[*at]))),
                     mend);
  }
}

}  // namespace evenfeed
