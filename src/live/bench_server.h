// SPDX-License-Identifier: MIT
// The bench page's server: one page, the state, and news as they come. It
// stands on this machine alone unless told otherwise, and then asks for a
// token: one to look, another to act. Nothing it says names a path of this
// machine; nothing that comes from data is ever part of the page itself.
#pragma once

#include <functional>
#include <memory>
#include <string>

namespace evenfeed {

struct ServerOptions {
  std::string address = "127.0.0.1";
  int port = 0;            ///< 0: any that is free
  std::string look_token;  ///< empty: who reaches it may look
  std::string act_token;   ///< empty: who reaches it may act
  int most_clients = 16;   ///< that are told news
  int most_body_bytes = 4096;
  int slow_client_s = 5;  ///< so long one may take to send or to read
  void check() const;
};

/// Works for whoever asks; called from the server's threads.
struct ServerWork {
  std::function<std::string()> state;  ///< as JSON
  /// Does what was wished; why it cannot be done, or empty.
  std::function<std::string(const std::string& json)> act;
  /// What a page that had no news for a second may count as one, as JSON; empty
  /// mostly: that the server lives says nothing of the bench.
  std::function<std::string()> quiet = {};
};

class BenchServer {
 public:
  /// Throws InputError when the address cannot be used.
  BenchServer(ServerOptions options, ServerWork work);
  ~BenchServer();
  BenchServer(const BenchServer&) = delete;
  BenchServer& operator=(const BenchServer&) = delete;

  [[nodiscard]] int port() const;
  /// To be typed into a browser; with the token to act.
  [[nodiscard]] std::string address() const;
  /// News for every page that is open.
  void tell(const std::string& kind, const std::string& json);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Throws InputError when nothing could be shown there now: long before there
/// is something to show.
void try_address(const ServerOptions& options);

/// A token that cannot be guessed: 128 bits from the system.
[[nodiscard]] std::string new_token();

}  // namespace evenfeed
