// SPDX-License-Identifier: MIT
#include "report/picture_section.h"

#include "base/counted.h"
#include "report/html.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string caption(const JudgedFeed& one) {
  std::string text = fmt::format("<b>Feed {}</b>", one.feed.number);
  if (!one.verdict.empty()) {
    text += fmt::format(" <span class=\"{0}\">{0}</span>",
                        escape_html(one.verdict));
  }
  if (!one.reasons.empty()) {
    text += ": " + escape_html(one.reasons.front());
  } else if (!one.feed.note.empty()) {
    text += ": " + escape_html(one.feed.note);
  }
  return text;
}

std::string figure(const JudgedFeed& one, const std::string& jpeg) {
  return fmt::format(
      "<figure id=\"picture-{0}\"{1}><img loading=\"lazy\" alt=\"Feed {0}: the "
      "ball at every sighting, with the fitted flight\" "
      "src=\"data:image/jpeg;base64,{2}\"><figcaption>{3}</figcaption>"
      "</figure>\n",
      one.feed.number,
      one.verdict == "keep" ? " class=\"kept\"" : "",
      base64(jpeg),
      caption(one));
}

}  // namespace

std::string picture_address(const ReportInput& input, int feed) {
  return input.pictures.contains(feed) ? fmt::format("#picture-{}", feed) : "";
}

std::string picture_section(const ReportInput& input) {
  std::string figures;
  int shown = 0;
  for (const JudgedFeed& one : input.feeds) {
    const auto found = input.pictures.find(one.feed.number);
    if (found == input.pictures.end()) continue;
    figures += figure(one, found->second);
    ++shown;
  }
  if (shown == 0) return {};
  return fmt::format(
      "<section class=\"pictures\"><h2>Feeds in pictures</h2>\n<p "
      "class=\"hint\">{}. The ball as it was filmed, at every sighting, in the "
      "empty scene. Orange: the fitted flight; green: the return. Ring: the "
      "bounce; square: the contact with the sample; triangle: the highest "
      "place of the return; bar: where it passes the net. Below, the bounce "
      "enlarged.{}</p>\n{}\n{}</div></section>\n",
      counted(shown, "picture"),
      input.pictures_left_out > 0
          ? fmt::format(" {} of kept feeds would make this page too large: "
                        "they are in the folder pictures beside it.",
                        input.pictures_left_out)
          : "",
      scrolled_start("Feeds in pictures", "stills"),
      figures);
}

}  // namespace evenfeed
