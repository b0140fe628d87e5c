/// A small web server for one page on this machine; the only room for cpp-httplib.
///
/// Listens on 127.0.0.1 alone. Answers nobody who does not know the random token in its address,
/// and no request that another host's name or page stands behind (guard.h). A connection carries
/// one request, which has to arrive within a few seconds and within a size; so connections that are
/// opened and left alone end by themselves. The answerer is called from many threads at once.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace sixfold::tools {

struct WebRequest {
  bool is_post = false;
  std::string path;  ///< Below the token: "" or "work/3".
  std::string body;
};

/// Events for a page, as they come (text/event-stream, HTML Living Standard, 9.2).
class EventSink {
 public:
  EventSink() = default;
  EventSink(const EventSink&) = delete;
  EventSink& operator=(const EventSink&) = delete;
  virtual ~EventSink() = default;

  /// Returns whether somebody still listens. REQUIRES: `data` has no line breaks.
  virtual bool send(std::string_view event, std::string_view data) = 0;
  /// A line that means nothing; the same.
  virtual bool beat() = 0;
};

struct WebAnswer {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::string file_name{};  ///< To be saved under; empty: to be shown.
  bool is_sheet = false;    ///< A page with a style sheet inside, and no script.
  /// Sends events instead of a body, until it returns; may be empty.
  std::function<void(EventSink&)> events{};
};
using Answerer = std::function<WebAnswer(const WebRequest&)>;

class WebServer {
 public:
  /// Listens at a port, at any free one where it is 0. Throws InputError where it is not free.
  WebServer(int port, Answerer answerer);
  ~WebServer();

  /// Where the page is; the token is in it.
  [[nodiscard]] std::string address() const;
  /// An address that leads to the page once and nowhere after that. Everybody on a machine can see
  /// what its programs are called with, so a browser is called with this one.
  [[nodiscard]] std::string address_for_once() const;
  /// Answers until stop() is called, and returns when all answers have ended.
  void run();
  /// May be called from any thread.
  void stop();

 private:
  class Server;
  std::unique_ptr<Server> server_;
};

}  // namespace sixfold::tools
