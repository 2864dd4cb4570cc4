// SPDX-License-Identifier: MIT
// The targets of fuzz.cpp under clang's libFuzzer, which goes by what an input
// reaches:
//   EVENFEED_FUZZ=TARGET fuzz_covered FOLDER [libFuzzer's options]
// The target's seeds are put into FOLDER first.
#include "base/error.h"
#include "fuzz/target.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>

namespace evenfeed::fuzz {
namespace {

namespace fs = std::filesystem;

Target target_asked_for() {
  const char* const name = std::getenv("EVENFEED_FUZZ");
  for (auto made : {csv_targets, toml_targets, json_targets, film_targets}) {
    for (Target& one : made()) {
      if (name != nullptr && one.name == name) return std::move(one);
    }
  }
  std::fprintf(stderr, "EVENFEED_FUZZ names no target\n");
  std::exit(2);
}

const Target& the_target() {
  static const Target target = target_asked_for();
  return target;
}

}  // namespace
}  // namespace evenfeed::fuzz

extern "C" int LLVMFuzzerInitialize(int* argc, char*** argv) {
  using namespace evenfeed::fuzz;
  const auto over = fs::copy_options::overwrite_existing;
  for (int i = 1; i < *argc; ++i) {
    const fs::path folder((*argv)[i]);
    if ((*argv)[i][0] == '-' || !fs::is_directory(folder)) continue;
    for (const std::string& seed : the_target().seeds) {
      const fs::path from = fs::path(EVENFEED_ROOT) / seed;
      fs::copy_file(from, folder / ("seed-" + from.filename().string()), over);
    }
    break;
  }
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data,
                                      std::size_t size) {
  const std::string bytes(reinterpret_cast<const char*>(data), size);
  try {
    evenfeed::fuzz::the_target().read(bytes);
  } catch (const evenfeed::InputError&) {
  } catch (const evenfeed::UsageError&) {
  }
  return 0;  // whatever else is thrown ends the program
}
