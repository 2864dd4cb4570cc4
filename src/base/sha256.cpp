// SPDX-License-Identifier: MIT
#include "base/sha256.h"

#include "base/error.h"

#include <algorithm>
#include <bit>
#include <fstream>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The first 32 bits of the fractional parts of the cube roots of the first 64
// primes (FIPS 180-4, 4.2.2).
constexpr std::array<std::uint32_t, 64> kRound{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1,
    0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3,
    0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
    0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147,
    0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
    0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b,
    0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
    0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208,
    0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

std::uint32_t word_at(const unsigned char* bytes) {
  return std::uint32_t{bytes[0]} << 24 | std::uint32_t{bytes[1]} << 16 |
         std::uint32_t{bytes[2]} << 8 | bytes[3];
}

std::array<std::uint32_t, 64> schedule(const unsigned char* bytes) {
  std::array<std::uint32_t, 64> w{};
  for (std::size_t t = 0; t < 16; ++t) w[t] = word_at(bytes + 4 * t);
  for (std::size_t t = 16; t < 64; ++t) {
    const std::uint32_t a = w[t - 15];
    const std::uint32_t b = w[t - 2];
    const std::uint32_t s0 = std::rotr(a, 7) ^ std::rotr(a, 18) ^ (a >> 3);
    const std::uint32_t s1 = std::rotr(b, 17) ^ std::rotr(b, 19) ^ (b >> 10);
    w[t] = s1 + w[t - 7] + s0 + w[t - 16];
  }
  return w;
}

}  // namespace

void Sha256::block(const unsigned char* bytes) {
  const auto w = schedule(bytes);
  auto [a, b, c, d, e, f, g, h] = state_;
  for (std::size_t t = 0; t < 64; ++t) {
    const std::uint32_t s1 =
        std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25);
    const std::uint32_t choice = (e & f) ^ (~e & g);
    const std::uint32_t t1 = h + s1 + choice + kRound[t] + w[t];
    const std::uint32_t s0 =
        std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22);
    const std::uint32_t majority = (a & b) ^ (a & c) ^ (b & c);
    h = g;
    g = f;
    f = e;
    e = d + t1;
    d = c;
    c = b;
    b = a;
    a = t1 + s0 + majority;
  }
  const std::array<std::uint32_t, 8> now{a, b, c, d, e, f, g, h};
  for (std::size_t i = 0; i < 8; ++i) state_[i] += now[i];
}

void Sha256::add(std::string_view bytes) {
  length_ += bytes.size();
  while (!bytes.empty()) {
    const std::size_t taken = std::min(bytes.size(), rest_.size() - held_);
    std::copy_n(bytes.begin(), taken, rest_.begin() + held_);
    held_ += taken;
    bytes.remove_prefix(taken);
    if (held_ < rest_.size()) return;
    block(rest_.data());
    held_ = 0;
  }
}

std::string Sha256::digest() {
  const std::uint64_t bits = length_ * 8;
  const std::size_t pad = (held_ < 56 ? 56 : 120) - held_;
  std::string end(pad, '\0');
  end[0] = static_cast<char>(0x80);
  for (int shift = 56; shift >= 0; shift -= 8) {
    end += static_cast<char>(bits >> shift & 0xff);
  }
  add(end);
  std::string text;
  for (const std::uint32_t word : state_) text += fmt::format("{:08x}", word);
  return text;
}

std::string sha256_of(std::string_view bytes) {
  Sha256 sum;
  sum.add(bytes);
  return sum.digest();
}

std::string sha256_of_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  Sha256 sum;
  std::vector<char> piece(std::size_t{1} << 20);
  while (in) {
    in.read(piece.data(), static_cast<std::streamsize>(piece.size()));
    sum.add({piece.data(), static_cast<std::size_t>(in.gcount())});
  }
  if (!in.eof()) {
    throw InputError(path.string(),
                     "cannot be read to its end",
                     "Check the name and the file's permissions");
  }
  return sum.digest();
}

}  // namespace evenfeed
