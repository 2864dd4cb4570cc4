// SPDX-License-Identifier: MIT
#include "cli/terminal_keys.h"

#include <chrono>
#include <mutex>
#include <string>

#include <doctest/doctest.h>
#include <pty.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace evenfeed;

namespace {

// In a child, whose terminal it is: "ab" arrives without Enter and unechoed,
// and the terminal is given back as it was. The exit code says what failed.
int typed_at_a_terminal() {
  std::mutex mutex;
  std::string heard;
  termios before{}, during{}, after{};
  tcgetattr(STDIN_FILENO, &before);
  {
    TerminalKeys keys(STDIN_FILENO, [&](char byte) {
      const std::lock_guard lock(mutex);
      heard += byte;
    });
    if (!keys.listening()) return 2;
    tcgetattr(STDIN_FILENO, &during);
    if ((during.c_lflag & (ICANON | ECHO)) != 0) return 3;
    if ((during.c_lflag & ISIG) == 0) return 4;
    if (write(STDOUT_FILENO, "!", 1) != 1) return 5;  // type now
    for (int i = 0; i < 200; ++i) {
      usleep(20000);
      const std::lock_guard lock(mutex);
      if (heard == "ab") break;
    }
  }
  tcgetattr(STDIN_FILENO, &after);
  if (heard != "ab") return 6;
  return after.c_lflag == before.c_lflag ? 0 : 7;
}

}  // namespace

TEST_CASE("keys come as they are pressed, and the terminal is given back") {
  int master = -1;
  const pid_t child = forkpty(&master, nullptr, nullptr, nullptr);
  REQUIRE(child >= 0);
  if (child == 0) _exit(typed_at_a_terminal());
  char asked = 0;
  REQUIRE(read(master, &asked, 1) == 1);
  CHECK(asked == '!');
  REQUIRE(write(master, "ab", 2) == 2);
  int status = 0;
  waitpid(child, &status, 0);
  close(master);
  CHECK(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("what is no terminal is left alone") {
  int ends[2];
  REQUIRE(pipe(ends) == 0);
  {
    const TerminalKeys keys(ends[0], [](char) { CHECK(false); });
    CHECK_FALSE(keys.listening());
    REQUIRE(write(ends[1], "x", 1) == 1);
  }
  char left = 0;
  CHECK(read(ends[0], &left, 1) == 1);
  close(ends[0]);
  close(ends[1]);
}

TEST_CASE("a line is waited for until it is there, or nobody wants it") {
  int ends[2];
  REQUIRE(pipe(ends) == 0);
  std::atomic<bool> stop{false};
  REQUIRE(write(ends[1], "m\n\nx", 4) == 4);
  CHECK(typed_line(ends[0], stop) == "m");
  CHECK(typed_line(ends[0], stop) == "");
  CHECK_FALSE(person_at(ends[0]));
  std::thread later([&] {
    usleep(100000);
    stop = true;
  });
  CHECK_FALSE(typed_line(ends[0], stop));
  later.join();
  stop = false;
  close(ends[1]);
  CHECK_FALSE(typed_line(ends[0], stop));
  close(ends[0]);
}
