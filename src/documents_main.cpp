// SPDX-License-Identifier: MIT
// Writes the manual pages and the completions into a folder, as they are
// installed below share/. Part of the build, not of what is installed.
#include "base/atomic_file.h"
#include "base/file_set.h"
#include "cli/completions.h"
#include "cli/manual.h"

#include <cstdio>
#include <exception>

#include <fmt/format.h>

namespace {

using namespace evenfeed;

void write_documents(const std::filesystem::path& share) {
  const TreeCommand root = command_tree();
  const auto man = share / "man/man1";
  const auto bash = share / "bash-completion/completions";
  const auto zsh = share / "zsh/vendor-completions";
  const auto fish = share / "fish/vendor_completions.d";
  for (const auto& folder : {man, bash, zsh, fish}) {
    std::filesystem::create_directories(folder);
  }
  std::vector<FileText> files{{man / "evenfeed.1", manual_page(root, root)},
                              {bash / "evenfeed", bash_completion(root)},
                              {zsh / "_evenfeed", zsh_completion(root)},
                              {fish / "evenfeed.fish", fish_completion(root)}};
  for (const TreeCommand& one : root.below) {
    files.push_back(
        {man / fmt::format("evenfeed-{}.1", one.name), manual_page(root, one)});
  }
  write_files_whole(files);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    fmt::print(stderr, "usage: {} FOLDER\n", argv[0]);
    return 2;
  }
  try {
    write_documents(argv[1]);
    return 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
}
