// SPDX-License-Identifier: MIT
#include "report/page_frame.h"

#include "report/assets.h"
#include "report/html.h"

#include <fmt/format.h>

namespace evenfeed {

std::string page_head(std::string_view title,
                      std::string_view heading,
                      std::string_view own_style) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src "
      "'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; "
      "img-src data:\">\n"
      "<meta name=\"viewport\" content=\"width=device-width\">\n"
      "<title>{}</title>\n<style>\n{}{}</style>\n</head>\n"
      "<body>\n<main>\n<h1>{}</h1>\n",
      escape_html(title),
      page_style(),
      own_style,
      escape_html(heading));
}

std::string page_foot(const std::vector<std::string_view>& scripts) {
  std::string out = "</main>\n";
  for (const std::string_view script : scripts) {
    out += fmt::format("<script>\n{}</script>\n", script);
  }
  return out + "</body>\n</html>\n";
}

std::string list_section(std::string_view heading,
                         std::string_view style,
                         const std::vector<std::string>& items) {
  if (items.empty()) return {};
  std::string out = fmt::format(
      "<section class=\"{}\"><h2>{}</h2>\n"
      "<ul class=\"plain\">\n",
      style,
      heading);
  for (const std::string& item : items) {
    out += fmt::format("<li>{}</li>\n", escape_html(item));
  }
  return out + "</ul></section>\n";
}

}  // namespace evenfeed
