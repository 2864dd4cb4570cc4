// SPDX-License-Identifier: MIT
#include "fuzz/mutator.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace evenfeed::fuzz {
namespace {

using namespace std::string_view_literals;

// What has broken readers before, here and elsewhere.
constexpr std::array kWords{"nan"sv,
                            "inf"sv,
                            "-inf"sv,
                            "1e300"sv,
                            "-1e300"sv,
                            "1e-320"sv,
                            "1e999"sv,
                            "-0"sv,
                            "0x10"sv,
                            "2147483648"sv,
                            "-1"sv,
                            "1e9"sv,
                            "99999999999999999999"sv,
                            "2.5"sv,
                            "null"sv,
                            "true"sv,
                            "[]"sv,
                            "{}"sv,
                            "[[[["sv,
                            "\"\""sv,
                            "\""sv,
                            "'''"sv,
                            "\"\"\""sv,
                            ";"sv,
                            "\t"sv,
                            ","sv,
                            ",,"sv,
                            "\n"sv,
                            "\r\n"sv,
                            "\0"sv,
                            "\xff\xfe"sv,
                            "\xef\xbb\xbf"sv,
                            "\xc0\x80"sv,
                            "\xed\xa0\x80"sv,
                            "\x1b[2J"sv,
                            "sep=;\n"sv,
                            "a.a.a.a."sv,
                            "[["sv,
                            "]]"sv,
                            "[a]"sv,
                            "="sv,
                            "#"sv,
                            "feed"sv,
                            "verdict"sv,
                            "keep"sv,
                            "unmeasured"sv,
                            "2026-02-30"sv,
                            "\xff\xff\xff\xff"sv,
                            "\x7f\xff\xff\xff"sv,
                            "\x80\0\0\0"sv};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

}  // namespace

std::size_t Mutator::below(std::size_t bound) {
  return bound == 0 ? 0 : random_() % bound;
}

std::string Mutator::piece_of(const std::string& bytes) {
  if (bytes.empty()) return {};
  const std::size_t from = below(bytes.size());
  return bytes.substr(from,
                      1 + below(std::min<std::size_t>(256, bytes.size())));
}

void Mutator::change_bytes(std::string& bytes) {
  if (bytes.empty()) return;
  const std::size_t at = below(bytes.size());
  switch (below(3)) {
    case 0:
      bytes[at] = static_cast<char>(bytes[at] ^ (1 << below(8)));
      break;
    case 1:
      bytes[at] = static_cast<char>(below(256));
      break;
    default:
      bytes.erase(at, 1 + below(16));
  }
}

void Mutator::change_pieces(std::string& bytes,
                            const std::vector<std::string>& corpus) {
  const std::size_t at = below(bytes.size() + 1);
  switch (below(3)) {
    case 0:
      bytes.insert(at, piece_of(bytes));
      break;
    case 1:
      bytes.insert(at, piece_of(corpus[below(corpus.size())]));
      break;
    default:
      bytes.resize(at);
  }
}

void Mutator::change_number(std::string& bytes) {
  const auto digit = std::find_if(
      bytes.begin() + static_cast<std::ptrdiff_t>(below(bytes.size() + 1)),
      bytes.end(),
      is_digit);
  if (digit == bytes.end()) return;
  const auto end = std::find_if_not(digit, bytes.end(), is_digit);
  const std::string_view word = kWords[below(14)];  // the numbers
  bytes.replace(digit, end, word.begin(), word.end());
}

void Mutator::put_word(std::string& bytes) {
  const std::string_view word = kWords[below(kWords.size())];
  const std::size_t at = below(bytes.size() + 1);
  if (below(2) == 0) {
    bytes.insert(at, word);
  } else {
    bytes.replace(at, std::min(word.size(), bytes.size() - at), word);
  }
}

void Mutator::change(std::string& bytes,
                     const std::vector<std::string>& corpus) {
  switch (below(4)) {
    case 0:
      return change_bytes(bytes);
    case 1:
      return change_pieces(bytes, corpus);
    case 2:
      return change_number(bytes);
    default:
      return put_word(bytes);
  }
}

std::string Mutator::changed(const std::vector<std::string>& corpus,
                             std::size_t most) {
  std::string bytes = corpus[below(corpus.size())];
  const std::size_t changes = 1 + below(8);
  for (std::size_t k = 0; k < changes; ++k) change(bytes, corpus);
  if (bytes.size() > most) bytes.resize(most);
  return bytes;
}

}  // namespace evenfeed::fuzz
