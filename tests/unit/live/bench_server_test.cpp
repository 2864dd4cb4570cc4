// SPDX-License-Identifier: MIT
// The server as an attacker meets it: bytes on a socket.
#include "live/bench_server.h"

#include "base/error.h"

#include <array>
#include <atomic>
#include <chrono>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include <arpa/inet.h>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

using namespace evenfeed;

namespace {

class Line {
 public:
  explicit Line(int port, int patience_s = 30) {
    handle_ = ::socket(AF_INET, SOCK_STREAM, 0);
    const timeval patience{patience_s, 0};
    ::setsockopt(handle_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    ::inet_pton(AF_INET, "127.0.0.1", &to.sin_addr);
    REQUIRE(::connect(handle_,
                      reinterpret_cast<const sockaddr*>(&to),
                      sizeof to) == 0);
  }
  ~Line() { ::close(handle_); }
  Line(const Line&) = delete;

  void send(const std::string& bytes) const {
    (void)::send(handle_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
  }
  /// What comes, until `end` is in it, the other side closes, or nothing comes.
  std::string hear(const std::string& end = "\n\n\n") const {
    std::string all;
    std::array<char, 4096> some{};
    while (all.find(end) == std::string::npos) {
      const ssize_t n = ::recv(handle_, some.data(), some.size(), 0);
      if (n <= 0) break;
      all.append(some.data(), static_cast<std::size_t>(n));
    }
    return all;
  }

 private:
  int handle_ = -1;
};

struct Bench {
  std::vector<std::string> wishes;
  BenchServer server;

  explicit Bench(ServerOptions options = {})
      : server(std::move(options),
               {[] { return std::string(R"({"word":"READY"})"); },
                [this](const std::string& wish) {
                  wishes.push_back(wish);
                  if (wish == "torn") throw InputError("no wish");
                  return wish == "bad" ? std::string("not so") : "";
                }}) {}

  std::string ask(const std::string& start,
                  const std::string& headers = "",
                  const std::string& body = "",
                  std::string host = "") const {
    if (host.empty()) host = fmt::format("127.0.0.1:{}", server.port());
    const Line line(server.port());
    line.send(fmt::format(
        "{} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{}{}\r\n{}",
        start,
        host,
        headers,
        body.empty() ? "" : fmt::format("Content-Length: {}\r\n", body.size()),
        body));
    return line.hear();
  }
  static int status(const std::string& answer) {
    return answer.size() > 12 ? std::stoi(answer.substr(9, 3)) : 0;
  }
};

constexpr const char* kJson = "Content-Type: application/json\r\n";

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the page and the state are served, and nothing else") {
  const Bench bench;
  const std::string page = bench.ask("GET /");
  CHECK(Bench::status(page) == 200);
  CHECK(has(page, "Content-Security-Policy: default-src 'none'"));
  CHECK_FALSE(has(page, "unsafe-inline"));
  CHECK_FALSE(has(page, "Access-Control"));
  CHECK(has(page, "bench.js"));
  CHECK(has(bench.ask("GET /state"), R"({"word":"READY"})"));
  const std::string script = bench.ask("GET /bench.js");
  CHECK(Bench::status(script) == 200);
  // Text from data is text: nothing that would run it.
  for (const char* way : {"innerHTML",
                          "outerHTML",
                          "insertAdjacentHTML",
                          "document.write",
                          "eval("}) {
    CHECK_FALSE(has(script, way));
  }
  for (const char* path : {"/../../etc/passwd",
                           "/%2e%2e/%2e%2e/etc/passwd",
                           "/..%2f..%2fetc/passwd",
                           "/journal.jsonl",
                           "//etc/passwd"}) {
    CAPTURE(path);
    const std::string answer = bench.ask(std::string("GET ") + path);
    CHECK(Bench::status(answer) == 404);
    CHECK_FALSE(has(answer, "root:"));
  }
  CHECK(Bench::status(bench.ask("PUT /state")) == 405);
  CHECK(Bench::status(bench.ask("DELETE /log")) == 405);
}

TEST_CASE("other hosts, other sites and forms of theirs are refused") {
  Bench bench;
  CHECK(Bench::status(bench.ask("GET /state", "", "", "evil.example")) == 403);
  CHECK(Bench::status(bench.ask(
            "GET /state",
            "",
            "",
            fmt::format("evil.example:{}", bench.server.port()))) == 403);
  CHECK(Bench::status(
            bench.ask("POST /log",
                      std::string("Origin: http://evil.example\r\n") + kJson,
                      "{}")) == 403);
  CHECK(Bench::status(bench.ask(
            "POST /log", "Content-Type: text/plain\r\n", "{}")) == 415);
  CHECK(Bench::status(bench.ask("GET /state",
                                fmt::format("Origin: http://localhost:{}\r\n",
                                            bench.server.port()))) == 200);
  CHECK(bench.wishes.empty());
  CHECK(Bench::status(bench.ask("POST /log", kJson, "{}")) == 200);
  CHECK(Bench::status(bench.ask("POST /log", kJson, "bad")) == 422);
  CHECK(Bench::status(bench.ask("POST /log", kJson, "torn")) == 422);
  CHECK(bench.wishes.size() == 3);
}

TEST_CASE("one key to look, another to act") {
  ServerOptions options;
  options.look_token = "look";
  options.act_token = "act";
  Bench bench(options);
  CHECK(Bench::status(bench.ask("GET /state")) == 401);
  CHECK(Bench::status(bench.ask("GET /state?key=no")) == 401);
  CHECK(Bench::status(bench.ask("GET /state?key=loo")) == 401);
  CHECK(Bench::status(bench.ask("GET /state?key=look")) == 200);
  CHECK(Bench::status(bench.ask("GET /state", "X-Bench-Key: act\r\n")) == 200);
  CHECK(Bench::status(bench.ask("POST /log?key=look", kJson, "{}")) == 401);
  CHECK(bench.wishes.empty());
  CHECK(Bench::status(bench.ask("POST /log?key=act", kJson, "{}")) == 200);
  CHECK(has(bench.server.address(), "key=act"));
  options.act_token.clear();
  options.address = "0.0.0.0";
  CHECK_THROWS_AS(options.check(), std::logic_error);
  CHECK(new_token().size() == 32);
  CHECK(new_token() != new_token());
}

TEST_CASE("large bodies, slow and many clients leave the bench at work") {
  ServerOptions options;
  options.most_clients = 3;
  // Longer than this test waits: the page is answered beside the slow ones, not
  // after they were given up.
  options.slow_client_s = 600;
  Bench bench(options);
  CHECK(Bench::status(
            bench.ask("POST /log", kJson, std::string(4 << 20, 'x'))) == 413);
  CHECK(bench.wishes.empty());
  // Half a request each, and no more of it.
  std::vector<std::unique_ptr<Line>> slow;
  for (int i = 0; i < 30; ++i) {
    slow.push_back(std::make_unique<Line>(bench.server.port()));
    slow.back()->send("GET / HTTP/1.1\r\nHo");
  }
  CHECK(Bench::status(bench.ask("GET /state")) == 200);
  slow.clear();
  // Pages that listen: three may, the others are told why not.
  std::vector<std::unique_ptr<Line>> pages;
  int let_in = 0;
  int refused = 0;
  for (int i = 0; i < 40; ++i) {
    auto page = std::make_unique<Line>(bench.server.port());
    page->send(fmt::format("GET /news HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
                           bench.server.port()));
    const std::string answer = page->hear("\r\n\r\n");
    let_in += Bench::status(answer) == 200;
    refused += Bench::status(answer) == 503;
    if (Bench::status(answer) == 200) pages.push_back(std::move(page));
  }
  CHECK(let_in == 3);
  CHECK(refused == 37);
  bench.server.tell("feed", R"({"words":"feed 1"})");
  for (const auto& page : pages) {
    CHECK(has(page->hear("feed 1"), "event: feed"));
  }
  CHECK(Bench::status(bench.ask("GET /state")) == 200);
}

TEST_CASE("two hundred clients that dawdle hold up neither bench nor page") {
  ServerOptions options;
  options.slow_client_s = 1;
  Bench bench(options);
  const Line page(bench.server.port());
  page.send(fmt::format("GET /news HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
                        bench.server.port()));
  CHECK(has(page.hear("\r\n\r\n"), "200"));
  std::vector<std::unique_ptr<Line>> slow;
  for (int i = 0; i < 200; ++i) {
    slow.push_back(std::make_unique<Line>(bench.server.port()));
    slow.back()->send("GET / HTTP/1.1\r\nHo");
  }
  // Whoever tells does not wait for them, and who listens hears at once.
  const auto from = std::chrono::steady_clock::now();
  for (int i = 0; i < 100; ++i) bench.server.tell("state", R"({"word":"X"})");
  bench.server.tell("state", R"({"word":"READY"})");
  CHECK(has(page.hear("READY"), "READY"));
  CHECK(std::chrono::steady_clock::now() - from < std::chrono::seconds(5));
  // They are given up, and a page that comes later is answered.
  CHECK(Bench::status(bench.ask("GET /state")) == 200);
}

TEST_CASE("a page without news hears what may count as some") {
  std::atomic<bool> lost{false};
  BenchServer server({},
                     {[] { return std::string("{}"); },
                      [](const std::string&) { return std::string(); },
                      [&] {
                        return lost ? std::string(R"({"word":"NO CAMERA"})")
                                    : std::string();
                      }});
  const Line page(server.port());
  page.send(fmt::format("GET /news HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
                        server.port()));
  const std::string first = page.hear("still here");
  CHECK(has(first, ": still here"));
  CHECK_FALSE(has(first, "event: quiet"));
  lost = true;
  CHECK(has(page.hear("NO CAMERA"), "event: quiet"));
}

TEST_CASE("what was told last is heard before it ends") {
  auto bench = std::make_unique<Bench>();
  const Line page(bench->server.port());
  page.send(fmt::format("GET /news HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
                        bench->server.port()));
  CHECK(has(page.hear("\r\n\r\n"), "200"));
  bench->server.tell("ended", "{}");
  bench.reset();
  CHECK(has(page.hear("ended"), "event: ended"));
}

TEST_CASE("a port that is taken is named") {
  const Bench bench;
  ServerOptions same;
  same.port = bench.server.port();
  CHECK_THROWS_WITH_AS(
      BenchServer(same, {}), doctest::Contains("--port"), InputError);
}

TEST_CASE(
    "an address that cannot be is told before there is anything to show") {
  ServerOptions options;
  CHECK_NOTHROW(try_address(options));
  const Bench bench;
  options.port = bench.server.port();  // taken
  CHECK_THROWS_AS(try_address(options), InputError);
  CHECK(Bench::status(bench.ask("GET /state")) == 200);
  options.port = 0;
  options.address = "203.0.113.7";  // for documents, nobody's
  options.look_token = options.act_token = "key";
  CHECK_THROWS_AS(try_address(options), InputError);
}
