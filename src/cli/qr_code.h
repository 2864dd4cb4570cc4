// SPDX-License-Identifier: MIT
// A text as a QR code, to be read from a terminal by a phone.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct QrCode {
  int size = 0;            ///< modules along a side
  std::vector<bool> dark;  ///< row by row
  [[nodiscard]] bool is_dark(int row, int column) const;
};

/// nullopt for a text that no code holds.
[[nodiscard]] std::optional<QrCode> qr_code(const std::string& text);

/// Two rows a line by half blocks, dark on light whatever the terminal's
/// colours are, with the light border that readers need. One text per line.
[[nodiscard]] std::vector<std::string> qr_lines(const QrCode& code);

/// Of those lines, in characters.
[[nodiscard]] int qr_columns(const QrCode& code);

}  // namespace evenfeed
