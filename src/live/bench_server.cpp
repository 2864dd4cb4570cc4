// SPDX-License-Identifier: MIT
// The one file that sees cpp-httplib.
#include "live/bench_server.h"

#include "base/check.h"
#include "base/error.h"
#include "live/live_assets.h"
#include "live/news_board.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <exception>
#include <memory>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

#include <fmt/format.h>
#include <httplib.h>
#include <sys/random.h>

namespace evenfeed {
namespace {

using httplib::Request;
using httplib::Response;

constexpr std::chrono::milliseconds kListen{1000};
// A page that hears no more keeps the end waiting no longer than this.
constexpr std::chrono::milliseconds kFarewell{2000};
constexpr std::chrono::milliseconds kLook{2};
// Beside one for each page that listens. Each client that sends half a request
// holds one until it is given up: with few, some such hold up the page.
constexpr int kOtherThreads = 64;
// The page's own script and style come from here and nothing else runs; it
// talks to nobody else, and stands in nobody's frame.
constexpr const char* kPolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src "
    "'self'; img-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'";

// Takes as long whatever is wrong.
bool same_token(const std::string& a, const std::string& b) {
  unsigned char differ = a.size() != b.size();
  for (std::size_t i = 0; i < b.size(); ++i) {
    const char other = i < a.size() ? a[i] : '\0';
    differ |= static_cast<unsigned char>(other ^ b[i]);
  }
  return differ == 0;
}

bool is_loopback(const std::string& address) {
  return address == "::1" || address == "localhost" ||
         address.rfind("127.", 0) == 0;
}

std::string event_text(const NewsBoard::News& news) {
  return fmt::format(
      "id: {}\nevent: {}\ndata: {}\n\n", news.number, news.kind, news.json);
}

}  // namespace

void ServerOptions::check() const {
  require_in_range(port, 0, 65535, "port");
  require_in_range(most_clients, 1, 1000, "most_clients");
  require_in_range(most_body_bytes, 64, 1 << 20, "most_body_bytes");
  require_in_range(slow_client_s, 1, 600, "slow_client_s");
  if (is_loopback(address)) return;
  require(!look_token.empty() && !act_token.empty(),
          "a server that others reach needs tokens");
}

std::string new_token() {
  unsigned char bytes[16];
  require(getrandom(bytes, sizeof bytes, 0) == sizeof bytes,
          "no random numbers");
  std::string token;
  for (const unsigned char byte : bytes) token += fmt::format("{:02x}", byte);
  return token;
}

struct BenchServer::Impl {
  ServerOptions options;
  ServerWork work;
  httplib::Server server;
  NewsBoard board;
  std::atomic<int> listeners{0};
  std::thread thread;
  int port = 0;
  std::vector<std::string> hosts;  // that a browser may know it by

  Impl(ServerOptions chosen, ServerWork does)
      : options(std::move(chosen)), work(std::move(does)) {
    options.check();
    set_limits();
    bind();
    server.set_pre_routing_handler([this](const Request& request,
                                          Response& out) {
      return guard(request, out) ? httplib::Server::HandlerResponse::Unhandled
                                 : httplib::Server::HandlerResponse::Handled;
    });
    add_pages();
    server.Get("/state", [this](const Request&, Response& out) {
      out.set_content(work.state(), "application/json");
    });
    server.Get("/news", [this](const Request&, Response& out) { listen(out); });
    server.Post("/log", [this](const Request& request, Response& out) {
      act(request, out);
    });
    server.set_exception_handler(
        [](const Request&, Response& out, std::exception_ptr) {
          refuse(out, 500, "this could not be done");
        });
    thread = std::thread([this] { server.listen_after_bind(); });
    // It cannot be stopped before.
    while (!server.is_running()) std::this_thread::yield();
  }

  ~Impl() {
    board.close();
    say_farewell();
    server.stop();
    if (thread.joinable()) thread.join();
  }

  // A server that stops drops what its pages have not heard yet.
  void say_farewell() const {
    const auto until = std::chrono::steady_clock::now() + kFarewell;
    while (listeners > 0 && std::chrono::steady_clock::now() < until) {
      std::this_thread::sleep_for(kLook);
    }
  }

  void set_limits() {
    server.set_payload_max_length(
        static_cast<std::size_t>(options.most_body_bytes));
    server.set_read_timeout(options.slow_client_s);
    server.set_write_timeout(options.slow_client_s);
    server.set_keep_alive_timeout(options.slow_client_s);
    // Not SO_REUSEPORT: two programs would share the port, and each page would
    // be one's or the other's by chance.
    server.set_socket_options([](socket_t socket) {
      const int yes = 1;
      ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
    const auto threads =
        static_cast<std::size_t>(options.most_clients + kOtherThreads);
    server.new_task_queue = [threads] {
      return new httplib::ThreadPool(threads);
    };
  }

  void bind() {
    port = options.port;
    if (port == 0) {
      port = server.bind_to_any_port(options.address);
    } else if (!server.bind_to_port(options.address, port)) {
      port = -1;
    }
    if (port < 0) {
      throw InputError(
          fmt::format("{}:{}", options.address, options.port),
          "the page cannot be shown there",
          "Another program may use this port: give another with --port, and "
          "an address of this machine with --listen");
    }
    const bool wide = options.address.find(':') != std::string::npos;
    const std::string own =
        wide ? "[" + options.address + "]" : options.address;
    for (const std::string& host :
         {own, std::string("localhost"), std::string("127.0.0.1")}) {
      hosts.push_back(fmt::format("{}:{}", host, port));
    }
  }

  static void refuse(Response& out, int status, const std::string& why) {
    out.status = status;
    out.set_content(why + "\n", "text/plain; charset=utf-8");
  }

  bool known_host(const std::string& host) const {
    return std::find(hosts.begin(), hosts.end(), host) != hosts.end();
  }

  // What every request must be, whatever it asks for.
  bool guard(const Request& request, Response& out) {
    out.set_header("Content-Security-Policy", kPolicy);
    out.set_header("X-Content-Type-Options", "nosniff");
    out.set_header("Referrer-Policy", "no-referrer");
    out.set_header("Cache-Control", "no-store");
    // Another site's name that was made to lead here (DNS rebinding).
    if (!known_host(request.get_header_value("Host"))) {
      refuse(out, 403, "this host is not served here");
      return false;
    }
    if (request.has_header("Origin")) {
      const std::string origin = request.get_header_value("Origin");
      if (origin.rfind("http://", 0) != 0 || !known_host(origin.substr(7))) {
        refuse(out, 403, "other sites may not ask");
        return false;
      }
    }
    const bool acts = request.method == "POST";
    if (!acts && request.method != "GET" && request.method != "HEAD") {
      refuse(out, 405, "allowed are GET and POST");
      return false;
    }
    if (!may(request, acts)) {
      refuse(out, 401, "the address on the bench's terminal has the key");
      return false;
    }
    return true;
  }

  bool may(const Request& request, bool acts) const {
    // Style and script hold nothing, and a browser asks for them without key.
    if (request.path == "/bench.css" || request.path == "/bench.js")
      return true;
    const std::string key = request.has_header("X-Bench-Key")
                                ? request.get_header_value("X-Bench-Key")
                                : request.get_param_value("key");
    if (options.act_token.empty()) return true;
    if (same_token(key, options.act_token)) return true;
    return !acts && same_token(key, options.look_token);
  }

  void add_pages() {
    const auto give =
        [this](const char* path, std::string_view text, const char* type) {
          server.Get(path, [text, type](const Request&, Response& out) {
            out.set_content(std::string(text), type);
          });
        };
    give("/", bench_page_html(), "text/html; charset=utf-8");
    give("/bench.css", bench_page_style(), "text/css; charset=utf-8");
    give("/bench.js", bench_page_script(), "text/javascript; charset=utf-8");
  }

  void act(const Request& request, Response& out) {
    // Other sites cannot send this kind without asking first.
    if (request.get_header_value("Content-Type").rfind("application/json", 0) !=
        0) {
      refuse(out, 415, "allowed is application/json");
      return;
    }
    std::string why;
    try {
      why = work.act(request.body);
    } catch (const std::exception&) {
      why = "this is no wish that is known here";
    }
    if (!why.empty()) {
      refuse(out, 422, why);
      return;
    }
    out.set_content("{}", "application/json");
  }

  std::string quiet_text() const {
    const std::string json = work.quiet ? work.quiet() : "";
    return json.empty() ? ": still here\n\n"
                        : fmt::format("event: quiet\ndata: {}\n\n", json);
  }

  // Server-sent events, until the page goes.
  void listen(Response& out) {
    if (++listeners > options.most_clients) {
      --listeners;
      refuse(out, 503, "so many pages are open already that no more may be");
      return;
    }
    auto at = std::make_shared<std::uint64_t>(board.last());
    out.set_chunked_content_provider(
        "text/event-stream",
        [this, at](std::size_t, httplib::DataSink& sink) {
          const NewsBoard::Read read = board.read(*at, kListen);
          // What was told last is heard before it ends.
          if (read.closed && read.news.empty()) return false;
          std::string text;
          if (read.missed) text += "event: missed\ndata: {}\n\n";
          for (const NewsBoard::News& one : read.news) {
            text += event_text(one);
            *at = one.number;
          }
          if (text.empty()) text = quiet_text();
          return sink.write(text.data(), text.size());
        },
        [this](bool) { --listeners; });
  }
};

BenchServer::BenchServer(ServerOptions options, ServerWork work)
    : impl_(std::make_unique<Impl>(std::move(options), std::move(work))) {}
BenchServer::~BenchServer() = default;

void try_address(const ServerOptions& options) {
  ServerWork nothing{[] { return std::string("{}"); },
                     [](const std::string&) { return std::string("not yet"); }};
  const BenchServer trial(options, std::move(nothing));
}

int BenchServer::port() const { return impl_->port; }

std::string BenchServer::address() const {
  const ServerOptions& options = impl_->options;
  std::string text = fmt::format("http://{}/", impl_->hosts.front());
  if (!options.act_token.empty()) text += "?key=" + options.act_token;
  return text;
}

void BenchServer::tell(const std::string& kind, const std::string& json) {
  impl_->board.post(kind, json);
}

}  // namespace evenfeed
