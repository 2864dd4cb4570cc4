// SPDX-License-Identifier: MIT
#include "base/printable.h"

#include <algorithm>

#include <fmt/format.h>

namespace evenfeed {
namespace {

unsigned byte_at(std::string_view text, std::size_t at) {
  return static_cast<unsigned char>(text[at]);
}

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (byte_at(text, at) & 0xc0) == 0x80;
}

// Bytes of the character of UTF-8 at `at`; 0 if there is none. The second byte
// tells encodings that are longer than need be, surrogates, and what lies
// beyond U+10FFFF (RFC 3629, section 4).
std::size_t character_at(std::string_view text, std::size_t at) {
  const unsigned lead = byte_at(text, at);
  if (lead < 0x80) return 1;
  if (lead < 0xc2 || lead > 0xf4) return 0;
  const std::size_t size = lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
  for (std::size_t k = 1; k < size; ++k) {
    if (!continues(text, at + k)) return 0;
  }
  const unsigned second = byte_at(text, at + 1);
  const bool valid =
      (lead != 0xe0 || second >= 0xa0) && (lead != 0xed || second < 0xa0) &&
      (lead != 0xf0 || second >= 0x90) && (lead != 0xf4 || second < 0x90);
  return valid ? size : 0;
}

// C0, DEL, and C1 (U+0080 to U+009F), which some terminals obey too.
bool is_control(std::string_view character) {
  const unsigned first = byte_at(character, 0);
  if (character.size() == 1) return first < 0x20 || first == 0x7f;
  return first == 0xc2 && byte_at(character, 1) < 0xa0;
}

std::string escape(unsigned byte) {
  if (byte == '\n') return "\\n";
  if (byte == '\r') return "\\r";
  if (byte == '\t') return "\\t";
  return fmt::format("\\x{:02x}", byte);
}

std::string escaped(std::string_view text, bool keep_lines) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = std::max<std::size_t>(character_at(text, at), 1);
    const std::string_view character = text.substr(at, size);
    const bool valid = character_at(text, at) > 0;
    if (keep_lines && text[at] == '\n') {
      out += '\n';
    } else if (!valid || is_control(character)) {
      for (std::size_t k = 0; k < size; ++k) {
        out += escape(byte_at(character, k));
      }
    } else {
      out += character;
    }
    at += size;
  }
  return out;
}

}  // namespace

std::string printable(std::string_view text) { return escaped(text, false); }

std::string printable_lines(std::string_view text) {
  return escaped(text, true);
}

std::string shortened(std::string_view text, std::size_t most) {
  constexpr std::string_view kGap = " ... ";
  if (text.size() <= most || most < kGap.size()) return std::string(text);
  std::size_t head = (most - kGap.size()) / 2;
  std::size_t tail = text.size() - head;
  while (head > 0 && continues(text, head)) --head;
  while (continues(text, tail)) ++tail;
  return fmt::format("{}{}{}", text.substr(0, head), kGap, text.substr(tail));
}

std::optional<std::size_t> first_not_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = character_at(text, at);
    if (size == 0) return at;
    at += size;
  }
  return std::nullopt;
}

}  // namespace evenfeed
