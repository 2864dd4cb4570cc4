// SPDX-License-Identifier: MIT
#include "cli/qr_code.h"

#include <memory>

#include <qrencode.h>

namespace evenfeed {
namespace {

// The standard asks for a border of four modules.
constexpr int kBorder = 4;
constexpr const char* kBlackOnWhite = "\033[30;107m";
constexpr const char* kAsBefore = "\033[0m";

}  // namespace

bool QrCode::is_dark(int row, int column) const {
  if (row < 0 || column < 0 || row >= size || column >= size) return false;
  return dark[static_cast<std::size_t>(row * size + column)];
}

std::optional<QrCode> qr_code(const std::string& text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> made(
      QRcode_encodeString(text.c_str(), 0, QR_ECLEVEL_L, QR_MODE_8, 1),
      &QRcode_free);
  if (!made) return std::nullopt;
  QrCode code;
  code.size = made->width;
  for (int i = 0; i < code.size * code.size; ++i) {
    code.dark.push_back((made->data[i] & 1) != 0);
  }
  return code;
}

std::vector<std::string> qr_lines(const QrCode& code) {
  std::vector<std::string> lines;
  for (int row = -kBorder; row < code.size + kBorder; row += 2) {
    std::string line = kBlackOnWhite;
    for (int column = -kBorder; column < code.size + kBorder; ++column) {
      const bool above = code.is_dark(row, column);
      const bool below = code.is_dark(row + 1, column);
      line += above ? (below ? "█" : "▀") : (below ? "▄" : " ");
    }
    lines.push_back(line + kAsBefore);
  }
  return lines;
}

int qr_columns(const QrCode& code) { return code.size + 2 * kBorder; }

}  // namespace evenfeed
