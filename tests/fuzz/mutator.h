// SPDX-License-Identifier: MIT
// Bytes made from others: a few random changes each, of bytes, of pieces and of
// numbers, with words that readers look for thrown in.
#pragma once

#include <random>
#include <string>
#include <vector>

namespace evenfeed::fuzz {

class Mutator {
 public:
  explicit Mutator(std::mt19937_64 random) : random_(random) {}

  /// One of `corpus` changed in 1 to 8 places; at most `most` bytes.
  std::string changed(const std::vector<std::string>& corpus,
                      std::size_t most = 65536);

 private:
  std::size_t below(std::size_t bound);
  std::string piece_of(const std::string& bytes);
  void change(std::string& bytes, const std::vector<std::string>& corpus);
  void change_bytes(std::string& bytes);
  void change_pieces(std::string& bytes,
                     const std::vector<std::string>& corpus);
  void change_number(std::string& bytes);
  void put_word(std::string& bytes);

  std::mt19937_64 random_;
};

}  // namespace evenfeed::fuzz
