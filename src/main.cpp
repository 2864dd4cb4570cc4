// SPDX-License-Identifier: MIT
#include "cli/command.h"
#include "cli/run_command_line.h"

int main(int argc, char** argv) {
  return evenfeed::run_command_line(argc, argv);
}
