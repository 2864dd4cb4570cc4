// SPDX-License-Identifier: MIT
#include "film/film_date.h"

#include <string>

extern "C" {
#include <libavformat/avformat.h>
}

namespace evenfeed {
namespace {

constexpr UnixSeconds k1990 = 631152000;

std::optional<UnixSeconds> date_in(const AVDictionary* words) {
  const AVDictionaryEntry* entry =
      av_dict_get(words, "creation_time", nullptr, 0);
  if (entry == nullptr) return std::nullopt;
  // "2026-03-14T15:30:05.000000Z": whole seconds are enough.
  const std::string text(entry->value);
  const auto date = parse_date_time(text.substr(0, text.find('.')));
  return date && *date >= k1990 ? date : std::nullopt;
}

}  // namespace

std::optional<UnixSeconds> film_creation_time(
    const std::filesystem::path& film) {
  av_log_set_level(AV_LOG_QUIET);  // what is no film is told by who measures it
  AVFormatContext* input = nullptr;
  const std::string address = "file:" + film.string();
  if (avformat_open_input(&input, address.c_str(), nullptr, nullptr) < 0) {
    return std::nullopt;
  }
  std::optional<UnixSeconds> date = date_in(input->metadata);
  for (unsigned i = 0; i < input->nb_streams && !date; ++i) {
    date = date_in(input->streams[i]->metadata);
  }
  avformat_close_input(&input);
  return date;
}

}  // namespace evenfeed
