// SPDX-License-Identifier: MIT
// Readers under bytes that nobody vouches for. Built with the developer build's
// sanitizers, which end the program at the first fault in memory.
//   fuzz [TARGET...] [--runs N | --seconds S] [--seed K] [--work FOLDER]
//   fuzz TARGET --file FILE      one input again
// Each target starts from its seeds and from what was found before
// (tests/fuzz/found/TARGET), which is tried first. An input whose refusal is
// worded as none before joins those that are changed further. The input under
// trial stands in FOLDER/TARGET.input, so that a crash or a run of more than 20
// seconds leaves it there; every other fault is written to FOLDER too, and the
// exit code is 1.
#include "base/error.h"
#include "base/random.h"
#include "fuzz/mutator.h"
#include "fuzz/target.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>
#include <optional>
#include <set>
#include <sstream>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/mman.h>
#include <unistd.h>

namespace evenfeed::fuzz {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMost = 65536;  // bytes of an input
constexpr unsigned kLongest_s = 20;

struct Options {
  std::vector<std::string> targets;
  std::optional<long> runs;
  double seconds = 10;
  std::uint64_t seed = 1;
  fs::path work = fs::temp_directory_path();
  std::string file;
};

std::string bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}

// The input under trial, on disk whatever becomes of the program: pages of a
// shared mapping outlive it.
class UnderTrial {
 public:
  explicit UnderTrial(const fs::path& file) : file_(file) {
    handle_ = ::open(file.c_str(), O_RDWR | O_CREAT | O_TRUNC, 0644);
    if (handle_ < 0 || ::ftruncate(handle_, kMost) != 0) std::abort();
    void* const at = ::mmap(nullptr, kMost, PROT_WRITE, MAP_SHARED, handle_, 0);
    if (at == MAP_FAILED) std::abort();
    at_ = static_cast<char*>(at);
  }
  ~UnderTrial() {
    ::munmap(at_, kMost);
    ::close(handle_);
    std::error_code ignored;
    fs::remove(file_, ignored);
  }
  UnderTrial(const UnderTrial&) = delete;
  UnderTrial& operator=(const UnderTrial&) = delete;

  void hold(const std::string& bytes) {
    std::memcpy(at_, bytes.data(), bytes.size());
    std::memset(at_ + bytes.size(), 0, kMost - bytes.size());
  }

 private:
  fs::path file_;
  int handle_ = -1;
  char* at_ = nullptr;
};

// A message without what it quotes: its wording. Numbers are left out too.
std::string wording(const std::string& message) {
  std::string words;
  bool quoted = false;
  for (const char c : message) {
    if (c == '\'') quoted = !quoted;
    if (!quoted && (c < '0' || c > '9')) words += c;
  }
  return words.substr(0, 200);
}

class Trial {
 public:
  Trial(const Target& target, const Options& options)
      : target_(target),
        options_(options),
        under_trial_(options.work / (target.name + ".input")),
        mutator_(derived_engine(options.seed, target.name)) {}

  /// False after a fault.
  bool known() {
    const fs::path root(EVENFEED_ROOT);
    for (const std::string& seed : target_.seeds) {
      corpus_.push_back(bytes_of(root / seed).substr(0, kMost));
      if (corpus_.back().empty()) {
        fmt::print("{}: the seed {} is empty\n", target_.name, seed);
        return false;
      }
    }
    const fs::path found = root / "tests/fuzz/found" / target_.name;
    std::error_code none;
    for (fs::directory_iterator it(found, none), end; !none && it != end;
         it.increment(none)) {
      corpus_.push_back(bytes_of(it->path()).substr(0, kMost));
    }
    bool sound = true;
    for (const std::string& one : std::vector<std::string>(corpus_)) {
      sound = tried(one) && sound;
    }
    return sound;
  }

  bool go_on() {
    const auto start = std::chrono::steady_clock::now();
    bool sound = true;
    for (long run = 0;; ++run) {
      const std::chrono::duration<double> took =
          std::chrono::steady_clock::now() - start;
      if (options_.runs ? run >= *options_.runs
                        : took.count() > options_.seconds) {
        break;
      }
      sound = tried(mutator_.changed(corpus_, kMost)) && sound;
    }
    fmt::print("{:12} {:7} inputs, {:4} wordings, {} faults\n",
               target_.name,
               inputs_,
               wordings_.size(),
               faults_);
    return sound;
  }

 private:
  bool tried(const std::string& bytes) {
    ++inputs_;
    under_trial_.hold(bytes);
    ::alarm(kLongest_s);
    std::string said = "read";
    try {
      target_.read(bytes);
    } catch (const InputError& error) {
      said = error.what();
    } catch (const UsageError& error) {
      said = error.what();
    } catch (const std::exception& error) {
      return faulty(bytes, error.what());
    }
    ::alarm(0);
    if (said.size() > 2000) return faulty(bytes, "a message without bound");
    if (wordings_.insert(wording(said)).second) corpus_.push_back(bytes);
    return true;
  }

  bool faulty(const std::string& bytes, const std::string& what) {
    ::alarm(0);
    const fs::path file =
        options_.work / fmt::format("{}-fault-{}", target_.name, ++faults_);
    std::ofstream(file, std::ios::binary) << bytes;
    fmt::print("{}: {}\n    {}\n", target_.name, what, file.string());
    return false;
  }

  const Target& target_;
  const Options& options_;
  UnderTrial under_trial_;
  Mutator mutator_;
  std::vector<std::string> corpus_;
  std::set<std::string> wordings_;
  long inputs_ = 0;
  int faults_ = 0;
};

std::vector<Target> all_targets() {
  std::vector<Target> all;
  for (auto made : {csv_targets, toml_targets, json_targets, film_targets}) {
    for (Target& one : made()) all.push_back(std::move(one));
  }
  return all;
}

Options parsed(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    const bool last = i + 1 == argc;
    if (word.rfind("--", 0) == 0 && last) {
      fmt::print(stderr, "fuzz: {} needs a value\n", word);
      std::exit(2);
    }
    if (word == "--runs") {
      options.runs = std::stol(argv[++i]);
    } else if (word == "--seconds") {
      options.seconds = std::stod(argv[++i]);
    } else if (word == "--seed") {
      options.seed = std::stoull(argv[++i]);
    } else if (word == "--work") {
      options.work = argv[++i];
    } else if (word == "--file") {
      options.file = argv[++i];
    } else {
      options.targets.push_back(word);
    }
  }
  fs::create_directories(options.work);
  return options;
}

int run(const Options& options) {
  bool sound = true;
  int done = 0;
  for (const Target& target : all_targets()) {
    const auto& wanted = options.targets;
    if (!wanted.empty() &&
        std::find(wanted.begin(), wanted.end(), target.name) == wanted.end()) {
      continue;
    }
    ++done;
    if (!options.file.empty()) {
      target.read(bytes_of(options.file));
      continue;
    }
    Trial trial(target, options);
    sound = trial.known() && sound;
    sound = trial.go_on() && sound;
  }
  if (done == 0) fmt::print(stderr, "fuzz: there is no such target\n");
  return sound && done > 0 ? 0 : 1;
}

}  // namespace
}  // namespace evenfeed::fuzz

int main(int argc, char** argv) {
  return evenfeed::fuzz::run(evenfeed::fuzz::parsed(argc, argv));
}
