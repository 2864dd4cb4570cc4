// SPDX-License-Identifier: MIT
// SHA-256 (FIPS 180-4): the fingerprint by which a film is known again.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace evenfeed {

class Sha256 {
 public:
  void add(std::string_view bytes);
  /// 64 hexadecimal digits, lower case. Call once.
  std::string digest();

 private:
  void block(const unsigned char* bytes);
  std::array<std::uint32_t, 8> state_{0x6a09e667,
                                      0xbb67ae85,
                                      0x3c6ef372,
                                      0xa54ff53a,
                                      0x510e527f,
                                      0x9b05688c,
                                      0x1f83d9ab,
                                      0x5be0cd19};
  std::array<unsigned char, 64> rest_{};
  std::size_t held_ = 0;
  std::uint64_t length_ = 0;
};

std::string sha256_of(std::string_view bytes);
/// Reads in pieces, so that a film need not fit in memory. Throws InputError.
std::string sha256_of_file(const std::filesystem::path& path);

}  // namespace evenfeed
