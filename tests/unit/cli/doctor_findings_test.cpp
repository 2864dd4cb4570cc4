// SPDX-License-Identifier: MIT
#include "cli/doctor_findings.h"

#include "cli/doctor_json.h"

#include <algorithm>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

Examination sound() {
  Examination seen;
  seen.size = {1280, 720};
  seen.rate_hz = 60;
  seen.cameras_in = "/dev";
  seen.ffmpeg = "5.1";
  seen.abilities = {
      {AbilityKind::kDecoder, "h264", "H.264 pictures", true, true},
      {AbilityKind::kProtocol, "srt", "srt:// addresses", false, true}};
  seen.folder = "out";
  seen.free_bytes = 500'000'000'000;
  SpeedTrial trial;
  trial.size = seen.size;
  trial.rate_hz = 60;
  trial.frames = 60;
  trial.wall_s = 0.4;
  trial.processor_s = 0.6;
  trial.processors = 2;
  seen.speed = trial;
  return seen;
}

// The worst that is said of an area.
Health of(const Examination& seen, const std::string& area) {
  Health worst = Health::kGood;
  int told = 0;
  for (const Finding& one : findings_of(seen)) {
    if (one.area != area) continue;
    ++told;
    worst = std::max(worst, one.health);
    // What is not good comes with what to do.
    CHECK((one.health == Health::kGood || !one.mend.empty()));
  }
  CHECK(told > 0);
  return worst;
}

}  // namespace

TEST_CASE("no camera on a sound machine is a normal answer") {
  const Examination seen = sound();
  for (const char* area : {"cameras", "FFmpeg", "disk", "speed"}) {
    CHECK(of(seen, area) == Health::kGood);
  }
  CHECK(may_begin(findings_of(seen)));
  const std::string words = examination_words(seen);
  CHECK(words.find("no capture device in /dev") != std::string::npos);
  CHECK(words.find("2.5 times as fast") != std::string::npos);
  CHECK(words.find("30 % of 2 processors") != std::string::npos);
  CHECK(words.find("nothing is in the way") != std::string::npos);
}

TEST_CASE("a camera says whether it has the size and rate") {
  Examination seen = sound();
  CaptureDevice camera;
  camera.file = "/dev/video0";
  camera.formats = {{"YUYV", "", false, {{1280, 720, {10}}, {640, 480, {30}}}}};
  seen.cameras = {camera};
  CHECK(of(seen, "cameras") == Health::kLimited);
  CHECK(may_begin(findings_of(seen)));
  CHECK(examination_words(seen).find("not 1280x720 at 60") !=
        std::string::npos);
  seen.cameras[0].formats.push_back({"MJPG", "", true, {{1280, 720, {60}}}});
  CHECK(of(seen, "cameras") == Health::kGood);
  CHECK(examination_words(seen).find(
            "evenfeed live /dev/video0 --size 1280x720 --rate 60") !=
        std::string::npos);
}

TEST_CASE("what FFmpeg lacks is in the way only when nothing goes without") {
  Examination seen = sound();
  seen.abilities[1].there = false;
  CHECK(of(seen, "FFmpeg") == Health::kLimited);
  CHECK(may_begin(findings_of(seen)));
  seen.abilities[0].there = false;
  CHECK(of(seen, "FFmpeg") == Health::kInTheWay);
  CHECK_FALSE(may_begin(findings_of(seen)));
}

TEST_CASE("the disk is told in minutes of film") {
  Examination seen = sound();
  // 1 GB beside what is kept: at 1280 x 720 x 60 x 0.15 bits, 16.1 minutes.
  seen.free_bytes = 1'000'000'000 + (256ULL << 20);
  CHECK(minutes_of_film(seen, 0.15) == doctest::Approx(16.075).epsilon(1e-3));
  CHECK(of(seen, "disk") == Health::kLimited);
  seen.free_bytes = 300ULL << 20;
  CHECK(of(seen, "disk") == Health::kInTheWay);
  seen.free_bytes = 1;
  CHECK(minutes_of_film(seen, 0.15) == 0);
  seen.free_bytes.reset();
  CHECK(of(seen, "disk") == Health::kInTheWay);
}

TEST_CASE("a machine that does not keep up is told what it could do") {
  Examination seen = sound();
  seen.speed->wall_s = 0.8;
  CHECK(of(seen, "speed") == Health::kLimited);
  seen.speed->wall_s = 1.5;
  CHECK(of(seen, "speed") == Health::kInTheWay);
  CHECK(examination_words(seen).find("--rate 25") != std::string::npos);
  CHECK(examination_words(seen).find("does not keep up") != std::string::npos);
  seen.speed->wall_s = 20;  // at no rate
  CHECK(examination_words(seen).find("--rate") == std::string::npos);
  seen.speed.reset();
  seen.no_speed = "the disk is full";
  CHECK(of(seen, "speed") == Health::kInTheWay);
}

TEST_CASE("as JSON it is the same") {
  Examination seen = sound();
  seen.cameras = {{"/dev/video\xff", "a\"b", {}, "another program has it", ""}};
  const auto json = nlohmann::json::parse(examination_json(seen));
  CHECK(json["may_begin"] == true);
  CHECK(json["cameras"].size() == 1);
  CHECK(json["findings"].size() == findings_of(seen).size());
  CHECK(json["speed"]["times"].get<double>() == doctest::Approx(2.5));
  CHECK(json["disk"]["free_bytes"] == 500'000'000'000);
}
