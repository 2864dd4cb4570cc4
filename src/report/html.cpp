// SPDX-License-Identifier: MIT
#include "report/html.h"

#include "base/csv.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

namespace evenfeed {

std::string escape_html(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default: {
        const auto byte = static_cast<unsigned char>(c);
        const bool forbidden =
            (byte < 0x20 && c != '\n' && c != '\t' && c != '\r') ||
            byte == 0x7f;
        if (forbidden) {
          out += "\xEF\xBF\xBD";
        } else {
          out += c;
        }
      }
    }
  }
  return out;
}

std::string script_safe(std::string_view json) {
  std::string out;
  out.reserve(json.size());
  for (const char c : json) {
    switch (c) {
      case '<':
        out += "\\u003c";
        break;
      case '>':
        out += "\\u003e";
        break;
      case '&':
        out += "\\u0026";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string base64(std::string_view bytes) {
  static constexpr std::string_view kLetters =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t given = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto byte =
          k < given ? static_cast<unsigned char>(bytes[i + k]) : 0;
      group = group << 8 | byte;
    }
    for (std::size_t k = 0; k < 4; ++k) {
      text += k <= given ? kLetters[group >> (18 - 6 * k) & 63] : '=';
    }
  }
  return text;
}

std::string with_uncertainty(double value, double sigma, int decimals) {
  if (!std::isfinite(value)) return "–";
  std::string shown = csv_number(value, decimals);
  if (!std::isfinite(sigma)) return shown;
  // An uncertainty that would round to nothing gets the digits it needs.
  int digits = decimals;
  while (digits < decimals + 2 && sigma > 0 &&
         sigma < 0.95 * std::pow(10.0, -digits)) {
    ++digits;
  }
  return fmt::format(
      "{} ± {}", csv_number(value, digits), csv_number(sigma, digits));
}

std::string scrolled_start(std::string_view label,
                           std::string_view style_class) {
  return fmt::format(
      "<div class=\"{}\" tabindex=\"0\" role=\"region\" aria-label=\"{}\">",
      style_class,
      escape_html(label));
}

std::string table_start(std::string_view label, std::string_view caption) {
  return fmt::format("{}<table>\n<caption>{}</caption>\n",
                     scrolled_start(label),
                     escape_html(caption));
}

}  // namespace evenfeed
